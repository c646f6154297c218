import { type HeldLimit, isPosterior, type MissedLimit, oralSide } from '@alveometer/core'
import { deg, mm, plain } from './format.js'

/** What tells a limit from others: its code, and which of several numbers it holds for. */
export type NamedLimit = Pick<HeldLimit, 'code' | 'where'>

/** A limit in the words of the trade: "facial bone", "exit behind the edge". Its code where no words are known. */
export function limitWords({ code, where }: NamedLimit, tooth: string): string {
  switch (code) {
    case 'facialMarginMm':
      return 'facial bone'
    case 'marginMm':
      return where === 'clearance'
        ? 'clearance to teeth and fixtures'
        : where === ''
          ? 'bone'
          : `${where} bone`
    case 'edgeBandMm':
      return isPosterior(tooth) ? 'exit within the table' : 'exit behind the edge'
    case 'leastWallMm':
      return 'wall round the channel'
    case 'correctionDeg':
      return 'bend'
    case 'crownHeightScrewMm':
    case 'crownHeightAngledMm':
    case 'crownHeightCementMm':
      return 'crown height'
    case 'platformDepthLeastMm':
      return 'platform deep enough'
    case 'platformDepthGreatestMm':
      return 'platform not too deep'
    case 'rimOralLeastMm':
      return 'rim behind the facial margin'
    case 'rimOralGreatestMm':
      return `rim not too far ${oralSide(tooth)}`
    default:
      return code
  }
}

/** A number of a limit with its unit. */
export const limitNumber = (unit: HeldLimit['unit'], value: number): string =>
  unit === 'deg' ? deg(value) : mm(value)

/** A value of a limit: an exit as its distance from the edge with its side, everything else as its number. */
export function valueWords(
  { code, unit }: Pick<HeldLimit, 'code' | 'unit'>,
  value: number,
  tooth: string,
): string {
  if (!fromEdge(code, tooth)) return limitNumber(unit, value)
  return `${mm(Math.abs(value))} ${value > 0 ? 'facial' : oralSide(tooth)}`
}

/** From one value of a limit to another: "0.16 to 2.30 mm", "3.96 to 0.84 mm palatal", "0.40 mm palatal to 0.60 mm facial". */
export function rangeWords(
  of: Pick<HeldLimit, 'code' | 'unit'>,
  from: number,
  to: number,
  tooth: string,
): string {
  const edge = fromEdge(of.code, tooth)
  const last = valueWords(of, to, tooth)
  if (edge && from > 0 !== to > 0) return `${valueWords(of, from, tooth)} to ${last}`
  return `${plain(edge ? Math.abs(from) : from, of.unit === 'deg' ? 1 : 2)} to ${last}`
}

/** "at least 1.00 mm"; of an exit "at least 1.50 mm palatal", which as a number is at most -1.50. */
export function boundWords(
  { code, unit, limit, side }: Pick<MissedLimit, 'code' | 'unit' | 'limit' | 'side'>,
  tooth: string,
): string {
  const least = (side === 'least') !== (fromEdge(code, tooth) && limit <= 0)
  return `at ${least ? 'least' : 'most'} ${valueWords({ code, unit }, limit, tooth)}`
}

/** Front teeth's exits are counted from the incisal edge, facial positive. */
const fromEdge = (code: string, tooth: string): boolean => code === 'edgeBandMm' && !isPosterior(tooth)

/** Nearer than this a limit counts as reached. */
const REACHED: Readonly<Record<HeldLimit['unit'], number>> = { mm: 0.005, deg: 0.05 }

/** How a limit stands: "0.69 mm short", "3.2° over", "at its limit", "0.12 mm in hand". */
export function standingWords({ code, unit, value, limit, reserve }: HeldLimit, tooth: string): string {
  if (reserve === null || value === null) return 'no number'
  const size = limitNumber(unit, Math.abs(reserve))
  if (Math.abs(reserve) < REACHED[unit]) return 'at its limit'
  if (reserve > 0) return `${size} in hand`
  if (code === 'edgeBandMm') return isPosterior(tooth) ? `${size} outside` : `${size} too far facial`
  return value < limit ? `${size} short` : `${size} over`
}
