import { PLACE_SIZE, type Place } from './way-space.js'
import {
  KEPT_IN_HAND_MM,
  leastKept,
  merit,
  type Standing,
  VIOLATION_COST,
  violationMm,
} from './way-standing.js'
import { greatestStep, type Slope } from './way-step.js'

/** What is climbed: a box, and how its places stand. */
export interface Hill {
  readonly low: Place
  readonly high: Place
  look(place: Place): Standing
  /** Slopes are taken over no less, mm: what is searched for stepwise itself trembles; 0.01 when absent. */
  readonly slopeMm?: number
}

/** A place and how it stands. */
export interface Found {
  readonly place: Place
  readonly standing: Standing
}

/** Steps are no longer, mm: within the reach of what slopes tell. Own choice. */
const FIRST_STEP_MM = 0.8
const GREATEST_STEP_MM = 1.6
const MENDING_STEP_MM = 0.2
/** A climb ends when steps are so short, mm: a tenth of what is asked of it. */
const LAST_STEP_MM = 0.004
/** Slopes are taken over so much at most and at least, mm. Own choice: a cell of a surface's grid is about 0.3 mm. */
const FAR_MM = 0.03
const NEAR_MM = 0.01
/** Slopes from so many places are kept: what bounds a placement is seldom more than six pieces. Own choice. */
const MOST_SLOPES = 10
/** On a ridge slopes are taken at so many places round the centre instead of at it. */
const PLACES_ROUND = 4
/** The one root above 1 of x^6 = x + 1: steps by its powers fill five dimensions evenly. */
const GOLDEN = 1.1347241384015194
/** A step is taken when it gains such a share of what was promised. */
const LEAST_SHARE = 0.05
/** A gain worth a step, mm. */
const LEAST_GAIN_MM = 2e-4
const MOST_ROUNDS = 70

/**
 * The best place near a start: step by step to where the slopes at the last few places promise most, within reach. All
 * pieces of a least keep slopes of their own, and those of places tried in vain stay, so that it does not stop on a ridge
 * (bundle method with a trust region: Kelley 1960, J SIAM 8:703; Schramm and Zowe 1992, SIAM J Optim 2:121). Where they
 * promise nothing, slopes from round about are asked, for those on a ridge are of no side (Burke, Lewis and Overton 2005, SIAM
 * J Optim 15:751).
 * Yields the best so far once a round.
 */
export function* climb(hill: Hill, start: Place, rounds = MOST_ROUNDS): Generator<Found, Found> {
  let centre = foundAt(hill, start)
  let best = centre
  const tried = (found: Found): Found => {
    if (isBetter(found.standing, best.standing)) best = found
    return found
  }
  let reach = FIRST_STEP_MM
  let slopes: readonly Slope[] = [slopeAt(hill, centre, reach, tried)]
  let vain = 0
  let looked = false
  let cost: number = VIOLATION_COST.first
  for (let round = 0; round < rounds; round++) {
    yield best
    if (reach < LAST_STEP_MM) {
      // At the end of a path that violations were cheap on, they are made dear.
      if (violationMm(centre.standing) < KEPT_IN_HAND_MM || cost >= VIOLATION_COST.most) break
      cost *= 8
      reach = MENDING_STEP_MM
    }
    const before = centre
    const step = greatestStep(hill, centre, slopes, reach, cost)
    const now = merit(centre.standing, cost)
    if (step.merit - now < LEAST_GAIN_MM) {
      if (looked) reach /= 3
      slopes = looked
        ? [slopeAt(hill, centre, reach, tried)]
        : offsets(round, reach / 2).map((offset) =>
            slopeAt(hill, foundAt(hill, moved(hill, centre.place, offset)), reach, tried),
          )
      looked = !looked
      continue
    }
    const gainOf = (found: Found): number => (merit(found.standing, cost) - now) / (step.merit - now)
    const next = tried(foundAt(hill, step.place))
    const added = [slopeAt(hill, next, reach, tried)]
    if (gainOf(next) > LEAST_SHARE) {
      centre = next
      if (gainOf(next) > 0.7) reach = Math.min(GREATEST_STEP_MM, 2 * reach)
    } else {
      // What is kept may bend away from its slopes by more than the step gains: mended from where it led.
      const mended = tried(foundAt(hill, greatestStep(hill, next, [...added, ...slopes], reach, cost).place))
      if (gainOf(mended) > LEAST_SHARE) {
        centre = mended
        added.unshift(slopeAt(hill, mended, reach, tried))
      } else if (gainOf(next) < -0.5 || ++vain > 1) {
        // The same slopes lead to the same place again: only a shorter step leads elsewhere.
        reach = Math.min(reach, distanceMm(step.place, centre.place)) / 2
        vain = 0
      }
    }
    if (centre !== before) {
      vain = 0
      looked = false
    }
    const near = slopes.filter(({ at }) => distanceMm(at, centre.place) < 2 * reach)
    slopes = [...added, ...near].slice(0, MOST_SLOPES)
  }
  return best
}

/** Whether a standing is better: first by what is kept, as far as it is not, then by the goal. */
export function isBetter(a: Standing, b: Standing): boolean {
  const [keptA, keptB] = [Math.min(0, leastKept(a)), Math.min(0, leastKept(b))]
  if (keptA === 0 && keptB === 0) return a.goal > b.goal
  return keptA === 0 || (keptB < 0 && merit(a, VIOLATION_COST.most) > merit(b, VIOLATION_COST.most))
}

/** For sorting. */
export const bestFirst = ({ standing: a }: Found, { standing: b }: Found): number =>
  isBetter(a, b) ? -1 : isBetter(b, a) ? 1 : 0

/** Steps to a few places all round, never the same twice: an additive recurrence (Roberts 2018, the generalised golden ratio). */
function offsets(round: number, reach: number): number[][] {
  return Array.from({ length: PLACES_ROUND }, (_, k) =>
    Array.from({ length: PLACE_SIZE }, (_, n) => {
      const share = (0.5 + (PLACES_ROUND * round + k + 1) / GOLDEN ** (n + 1)) % 1
      return reach * (2 * share - 1)
    }),
  )
}

const moved = ({ low, high }: Hill, place: Place, by: readonly number[]): Place =>
  place.map((at, n) => Math.min(high[n], Math.max(low[n], at + by[n])))

const foundAt = (hill: Hill, place: Place): Found => ({ place, standing: hill.look(place) })

const distanceMm = (a: Place, b: Place): number => Math.max(...a.map((v, n) => Math.abs(v - b[n])))

/** The slopes at a place, by looks beside it, inwards where it lies at the end of the box. */
function slopeAt(
  hill: Hill,
  { place, standing }: Found,
  reach: number,
  tried: (found: Found) => Found,
): Slope {
  const stepMm = Math.max(hill.slopeMm ?? NEAR_MM, Math.min(FAR_MM, reach / 10))
  const beside = place.map((at, n) => {
    const upMm = Math.min(stepMm, hill.high[n] - at)
    const downMm = Math.min(stepMm, at - hill.low[n])
    const mm = upMm >= downMm ? upMm : -downMm
    if (mm === 0) return null
    const other = tried(
      foundAt(
        hill,
        place.map((v, m) => (m === n ? at + mm : v)),
      ),
    )
    return { mm, standing: other.standing }
  })
  const slopesOf = (values: (standing: Standing) => readonly number[]): number[][] =>
    values(standing).map((value, which) =>
      beside.map((other) => (other === null ? 0 : (values(other.standing)[which] - value) / other.mm)),
    )
  return {
    at: place,
    standing,
    pieces: slopesOf(({ pieces }) => pieces),
    kept: slopesOf(({ kept }) => kept),
  }
}
