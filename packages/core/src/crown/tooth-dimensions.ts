import { checkTooth, isUpper, placeInQuadrant } from './tooth.js'

/** Mean size of a permanent tooth, mm. MD = mesiodistal, LL = labiolingual (buccolingual on posterior teeth). */
export interface ToothDimensions {
  readonly crownLengthMm: number
  /** The longest root where there are several. */
  readonly rootLengthMm: number
  readonly widthMdMm: number
  readonly cervicalMdMm: number
  readonly widthLlMm: number
  readonly cervicalLlMm: number
  /** How far the cemento-enamel junction rises coronally on the mesial and on the distal side. */
  readonly cejMesialMm: number
  readonly cejDistalMm: number
  readonly source: string
}

type Row = readonly [number, number, number, number, number, number, number, number]

const TEXTBOOK = 'Nelson and Ash, Dental Anatomy (after Wheeler), table of average measurements'
const CHECKED = `${TEXTBOOK}; cervical LL not checked against the book`
const UNCHECKED = `${TEXTBOOK}; as widely reprinted, not checked against the book`

/** Crown, root, MD, cervical MD, LL, cervical LL, curve mesial, curve distal; places 1 to 8 of a quadrant. */
const UPPER: readonly Row[] = [
  [10.5, 13, 8.5, 7, 7, 6, 3.5, 2.5],
  [9, 13, 6.5, 5, 6, 5, 3, 2],
  [10, 17, 7.5, 5.5, 8, 7, 2.5, 1.5],
  [8.5, 14, 7, 5, 9, 8, 1, 0],
  [8.5, 14, 7, 5, 9, 8, 1, 0],
  [7.5, 13, 10, 8, 11, 10, 1, 0],
  [7, 12, 9, 7, 11, 10, 1, 0],
  [6.5, 11, 8.5, 6.5, 10, 9.5, 1, 0],
]

const LOWER: readonly Row[] = [
  [9, 12.5, 5, 3.5, 6, 5.3, 3, 2],
  [9.5, 14, 5.5, 4, 6.5, 5.8, 3, 2],
  [11, 16, 7, 5.5, 7.5, 7, 2.5, 1],
  [8.5, 14, 7, 5, 7.5, 6.5, 1, 0],
  [8, 14.5, 7, 5, 8, 7, 1, 0],
  [7.5, 14, 11, 9, 10.5, 9, 1, 0],
  [7, 13, 10.5, 8, 10, 9, 1, 0],
  [7, 11, 10, 7.5, 9.5, 9, 1, 0],
]

/**
 * Mean dimensions of an ISO 3950 permanent tooth.
 * @throws RangeError naming the value for an unknown tooth.
 */
export function toothDimensions(tooth: string): ToothDimensions {
  const place = placeInQuadrant(checkTooth(tooth))
  const row = (isUpper(tooth) ? UPPER : LOWER)[place - 1]
  return {
    crownLengthMm: row[0],
    rootLengthMm: row[1],
    widthMdMm: row[2],
    cervicalMdMm: row[3],
    widthLlMm: row[4],
    cervicalLlMm: row[5],
    cejMesialMm: row[6],
    cejDistalMm: row[7],
    source: isUpper(tooth) && place <= 2 ? CHECKED : UNCHECKED,
  }
}
