import { isPosterior } from '../crown/index.js'
import type { HeldLimit, WayOut } from './held-limit.js'
import { ceilDeg, EXACT, floorMm, shortMm } from './way-digits.js'
import { isMargin, reserveMm } from './way-values.js'
import type { WayFound } from './ways-out-result.js'

type Told = Omit<WayFound, 'words'>

/** How a way was searched. */
export interface Searched {
  readonly inHandMm: number
  /** False while there may be better placements than what was found. */
  readonly complete: boolean
}

/**
 * What a way comes to, or why there is none, in one sentence. Least values are printed rounded down, greatest ones up, and
 * what is missing is the difference of what is printed.
 */
export function wayWords(found: Told, tooth: string, { inHandMm, complete }: Searched): string {
  if (found.exists) return existing(found, tooth)
  if (complete) return missing(found, tooth, inHandMm)
  return 'No placement that keeps all limits was found so far.'
}

function existing(found: Told, tooth: string): string {
  const { objective, held, measures } = found
  const place = placeWords(tooth)
  switch (found.way) {
    case 'straight':
      return `A straight channel leaves ${place} and the fixture keeps ${keeps(tightest(held))}.`
    case 'cemented':
      return `Under a cemented crown the fixture keeps ${keeps(tightest(held))}.`
    case 'angled': {
      const bend =
        objective.value === 0
          ? `Without any bend the channel leaves ${place}`
          : `A bend of ${ceilDeg(objective.value)} brings the channel ${place}`
      return `${bend} and the fixture keeps ${keeps(tightest(held))}.`
    }
    case 'straight-graft':
      return (measures.graftMm3 ?? 0) === 0
        ? `A straight channel leaves ${place} with all wanted margins in the bone that is there: nothing is to be grafted.`
        : `A straight channel leaves ${place} when about ${Math.max(1, Math.round(measures.graftMm3 ?? 0))} mm3 are grafted to the wanted margins.`
  }
}

function missing(found: Told, tooth: string, inHandMm: number): string {
  const subject = subjectOf(found.way, tooth)
  const others = found.conflict.filter((limit) => !isMargin(limit) && isMissed(limit))
  if (others.length > 0) {
    const names = others.slice(0, 2).map((limit) => `${nameOf(limit, tooth)} ${missedBy(limit)}`)
    return `${subject} cannot keep the limits of crown and platform together: at best ${names.join(' and ')}.`
  }
  const least = tightest(found.held)
  if (least === undefined || least.value === null)
    return `${subject} cannot be shown to keep its margins: the scan ends too near.`
  const { value, limit } = least
  if (least.reserve !== null && least.reserve >= 0)
    return `${subject} keeps ${boneWords(least)} at most: the limit of ${limit} mm, but not the ${inHandMm} mm in hand that a finer measurement may differ by.`
  const short = `${shortMm(value, limit)} less than the limit of ${limit} mm`
  return value < 0
    ? `${subject} leaves the fixture ${shortMm(value, 0)} outside of bone at least ${whereWords(least)}, ${short}.`
    : `${subject} keeps ${boneWords(least)} at most, ${short}.`
}

const isMissed = ({ reserve }: HeldLimit): boolean => reserve === null || reserve < -EXACT

function subjectOf(way: WayOut, tooth: string): string {
  if (way === 'cemented') return 'A fixture under a cemented crown'
  if (way === 'angled') return `An angled channel that leaves ${placeWords(tooth)}`
  return `A straight channel that leaves ${placeWords(tooth)}`
}

const placeWords = (tooth: string): string =>
  isPosterior(tooth) ? 'through the occlusal table' : 'behind the tooth'

/**
 * The margin with the least reserve. The nearest distance is never more than that of a side: it is told of the side
 * when that is as small.
 */
function tightest(held: readonly HeldLimit[]): HeldLimit | undefined {
  const margins = held.filter(isMargin)
  const least = Math.min(...margins.map(reserveMm))
  return margins.find((limit) => reserveMm(limit) < least + SAME_MM)
}
const SAME_MM = 0.005

const keeps = (limit: HeldLimit | undefined): string =>
  limit === undefined || limit.value === null
    ? 'its margins'
    : `${boneWords(limit)} (limit ${limit.limit} mm)`

const boneWords = ({ value, where }: HeldLimit): string =>
  where === 'nearest'
    ? `${floorMm(value ?? 0)} of bone at its nearest`
    : `${floorMm(value ?? 0)} of ${where} bone`

const whereWords = ({ where }: HeldLimit): string =>
  where === 'nearest' ? 'at its worst' : `on the ${where} side`

function nameOf({ code, where }: HeldLimit, tooth: string): string {
  if (where === 'clearance') return 'the distance to what is beside it'
  if (code.startsWith('crownHeight')) return 'the height of the crown'
  if (code.startsWith('platformDepth')) return 'the depth of the platform'
  if (code.startsWith('rimOral')) return "the platform's place under the facial margin"
  if (code === 'leastWallMm') return 'the wall round the channel'
  if (code === 'correctionDeg') return 'the bend'
  return isPosterior(tooth) ? 'the exit through the occlusal table' : 'the exit behind the tooth'
}

function missedBy({ reserve, unit }: HeldLimit): string {
  if (reserve === null) return 'is not met at all'
  return `is missed by ${unit === 'deg' ? ceilDeg(-reserve) : shortMm(reserve, 0)}`
}
