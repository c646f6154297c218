import type { Crown } from './crown.js'
import { toothDimensions } from './tooth-dimensions.js'

/** Sizes typed or measured that replace those of the table, mm; what is absent is scaled along with them. */
export interface CrownSize {
  /** From the cervical centre to the edge or the highest cusp tip. */
  readonly lengthMm?: number
  /** Greatest mesiodistal width. */
  readonly widthMdMm?: number
  /** Greatest orofacial (labiolingual, buccolingual) width. */
  readonly widthLlMm?: number
}

const FIELDS = ['lengthMm', 'widthMdMm', 'widthLlMm'] as const

/** A size is plausible from half to double that of the table. Own choice: far beyond what teeth measure, but no slip of a decimal point. */
const LEAST = 0.5
const GREATEST = 2

/**
 * The plausible values of one size of a tooth, mm, both ends included.
 * @throws RangeError for an unknown tooth.
 */
export function plausibleSize(
  tooth: string,
  field: keyof CrownSize,
): { leastMm: number; greatestMm: number } {
  const table = tableSize(tooth)[field]
  return { leastMm: LEAST * table, greatestMm: GREATEST * table }
}

/**
 * Checks that the sizes given are plausible for the tooth, and returns them.
 * @throws RangeError naming the size, its value and what is plausible; also for an unknown tooth.
 */
export function checkCrownSize(tooth: string, size: CrownSize): CrownSize {
  for (const field of FIELDS) {
    const mm = size[field]
    if (mm === undefined) continue
    const { leastMm, greatestMm } = plausibleSize(tooth, field)
    if (typeof mm !== 'number' || !(mm >= leastMm && mm <= greatestMm))
      throw new RangeError(
        `${field} ${mm} is not plausible for a crown of tooth ${tooth}: give ${short(leastMm)} to ${short(greatestMm)} mm`,
      )
  }
  return size
}

const short = (mm: number): string => String(Number(mm.toFixed(2)))

/**
 * All three sizes of a tooth's crown, mm: those given, and for those absent the table's times the geometric mean of
 * the factors by which the given ones differ from the table. So one size given scales the other two by its own
 * factor, and two given scale the third by the mean of theirs.
 * @throws RangeError as `checkCrownSize`.
 */
export function fullCrownSize(tooth: string, size: CrownSize = {}): Required<CrownSize> {
  checkCrownSize(tooth, size)
  const table = tableSize(tooth)
  const factors = FIELDS.flatMap((field) => {
    const mm = size[field]
    return mm === undefined ? [] : [mm / table[field]]
  })
  const along = factors.length > 0 ? factors.reduce((a, b) => a * b) ** (1 / factors.length) : 1
  return {
    lengthMm: size.lengthMm ?? table.lengthMm * along,
    widthMdMm: size.widthMdMm ?? table.widthMdMm * along,
    widthLlMm: size.widthLlMm ?? table.widthLlMm * along,
  }
}

/**
 * What any crown measures in its own frame, mm: from its cervical centre to its highest point, and its greatest
 * mesiodistal and orofacial widths.
 */
export function sizeOf({ mesh }: Crown): Required<CrownSize> {
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  mesh.positions.forEach((v, i) => {
    const axis = i % 3
    if (v < low[axis]) low[axis] = v
    if (v > high[axis]) high[axis] = v
  })
  return { lengthMm: -low[2], widthMdMm: high[1] - low[1], widthLlMm: high[0] - low[0] }
}

function tableSize(tooth: string): Required<CrownSize> {
  const { crownLengthMm, widthMdMm, widthLlMm } = toothDimensions(tooth)
  return { lengthMm: crownLengthMm, widthMdMm, widthLlMm }
}
