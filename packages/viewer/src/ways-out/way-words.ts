import {
  type FixtureShape,
  fixtureProfile,
  type HeldLimit,
  isPosterior,
  oralSide,
  type PoseMeasures,
  type WayFound,
  type WayOut,
} from '@alveometer/core'
import { cc, deg, mm, mm3 } from '../text/format.js'
import { limitWords, standingWords } from '../text/limit-words.js'

/** What a way is called, in two lines. */
export const wayNames: Readonly<Record<WayOut, readonly [string, string]>> = {
  straight: ['Straight screw', 'no graft'],
  'straight-graft': ['Straight screw', 'with graft'],
  angled: ['Angled screw', 'no graft'],
  cemented: ['Cemented', 'no graft'],
}

export const wayName = (way: WayOut): string => wayNames[way].join(', ')

/** A number that stands out, and what it is. */
export interface Price {
  readonly number: string
  readonly of: string
  readonly missed: boolean
}

/** What a way comes to: what it costs, or by how much it fails. */
export function priceOf({ exists, objective, conflict, measures }: WayFound, tooth: string): Price {
  const worst = exists ? undefined : worstOf(conflict)
  if (worst !== undefined) {
    const [number, of] = split(standingWords(worst, tooth))
    return { number, of: `${limitWords(worst, tooth)} ${of}`.trim(), missed: true }
  }
  switch (objective.name) {
    case 'graft': {
      const volume = measures.graftMm3 ?? objective.value
      return { number: mm3(volume), of: `of graft, ${cc(volume)}`, missed: false }
    }
    case 'bend':
      return { number: deg(objective.value), of: 'of bend', missed: false }
    case 'reserve':
      return {
        number: mm(objective.value),
        of: objective.value < 0 ? 'of bone short' : 'of bone to spare',
        missed: objective.value < 0,
      }
  }
}

/** Degrees are set against millimetres by the sway of a fixture 12 mm long: about 5 to 1 (own choice). */
const DEG_PER_MM = 5

function worstOf(conflict: readonly HeldLimit[]): HeldLimit | undefined {
  const missed = conflict.filter(({ reserve }) => reserve === null || reserve < 0)
  const size = ({ reserve, unit }: HeldLimit): number =>
    reserve === null ? Number.POSITIVE_INFINITY : -reserve / (unit === 'deg' ? DEG_PER_MM : 1)
  return missed.reduce<HeldLimit | undefined>(
    (worst, each) => (worst === undefined || size(each) > size(worst) ? each : worst),
    undefined,
  )
}

/** "0.69 mm short" as its number and the rest; words without a number are the number. */
function split(words: string): readonly [string, string] {
  const at = words.search(/\d/) < 0 ? -1 : words.indexOf(' ')
  return at < 0 ? [words, ''] : [words.slice(0, at), words.slice(at + 1)]
}

/** "4.0° facial, 0.5° mesial" */
export function tiltWords({ tiltFacialDeg, tiltMesialDeg }: PoseMeasures, tooth: string): readonly string[] {
  return [side(tiltFacialDeg, 'facial', oralSide(tooth)), side(tiltMesialDeg, 'mesial', 'distal')]
}

const side = (value: number, positive: string, negative: string): string => {
  const text = deg(Math.abs(value))
  return Math.abs(value) < 0.05 ? `${text} ${positive}` : `${text} ${value > 0 ? positive : negative}`
}

/** Where the straight channel leaves: the place, and its distance from edge or groove. */
export function exitPlaceWords(
  measures: Pick<PoseMeasures, 'class' | 'offsetMm'>,
  tooth: string,
): readonly [string, string] {
  const { offsetMm } = measures
  if (measures.class === null || offsetMm === null) return ['none', 'misses the crown']
  const place = measures.class === 'incisal' ? 'incisal edge' : measures.class
  const from = isPosterior(tooth) ? 'of the groove' : 'of the edge'
  return [place, `${mm(Math.abs(offsetMm))} ${offsetMm >= 0 ? 'facial' : oralSide(tooth)} ${from}`]
}

/** "4.0 × 11" */
export function sizeWords(shape: FixtureShape): string {
  const { greatestRadiusMm, lengthMm } = fixtureProfile(shape)
  return `${Number((2 * greatestRadiusMm).toFixed(2))} × ${Number(lengthMm.toFixed(2))}`
}
