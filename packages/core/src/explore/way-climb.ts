import type { Place } from './way-space.js'
import { leastKept, merit, type Standing } from './way-standing.js'
import { greatestStep, type Slope } from './way-step.js'

/** What is climbed: a box, and how its places stand. */
export interface Hill {
  readonly low: Place
  readonly high: Place
  look(place: Place): Standing
}

/** A place and how it stands. */
export interface Found {
  readonly place: Place
  readonly standing: Standing
}

/** Steps are no longer, mm: within the reach of what slopes tell. Own choice. */
const FIRST_STEP_MM = 0.8
const GREATEST_STEP_MM = 1.6
/** A climb ends when steps are so short, mm: a tenth of what is asked of it. */
const LAST_STEP_MM = 0.004
/** Slopes are taken over so much at most and at least, mm. Own choice: a cell of a surface's grid is about 0.3 mm. */
const FAR_MM = 0.1
const NEAR_MM = 0.004
/** Slopes from so many places are kept: what bounds a placement is seldom more than six pieces. Own choice. */
const MOST_SLOPES = 10
/** A gain worth a step, mm. */
const LEAST_GAIN_MM = 2e-4
const MOST_ROUNDS = 70

/**
 * The best place near a start: step by step to where the slopes at the last few places promise most, within reach. All
 * pieces of a least keep slopes of their own, and those of places tried in vain stay, so that it does not stop on a ridge
 * (bundle method with a trust region: Kelley 1960, J SIAM 8:703; Schramm and Zowe 1992, SIAM J Optim 2:121).
 * Yields once a round.
 */
export function* climb(hill: Hill, start: Place, rounds = MOST_ROUNDS): Generator<undefined, Found> {
  let centre = foundAt(hill, start)
  let best = centre
  const tried = (found: Found): Found => {
    if (isBetter(found.standing, best.standing)) best = found
    return found
  }
  let reach = FIRST_STEP_MM
  let slopes: readonly Slope[] = [slopeAt(hill, centre, reach, tried)]
  let vain = 0
  for (let round = 0; round < rounds && reach > LAST_STEP_MM; round++) {
    yield
    const step = greatestStep(hill, centre, slopes, reach)
    const now = merit(centre.standing)
    if (step.merit - now < LEAST_GAIN_MM) {
      reach /= 4
      slopes = [slopeAt(hill, centre, reach, tried)]
      continue
    }
    const next = tried(foundAt(hill, step.place))
    const share = (merit(next.standing) - now) / (step.merit - now)
    if (share > 0.1) {
      centre = next
      vain = 0
      if (share > 0.7) reach = Math.min(GREATEST_STEP_MM, 2 * reach)
    } else {
      vain++
      if (share < -0.5 || vain > 2) {
        reach /= 2
        vain = 0
      }
    }
    const near = slopes.filter(({ at }) => distanceMm(at, centre.place) < 2 * reach)
    slopes = [slopeAt(hill, next, reach, tried), ...near].slice(0, MOST_SLOPES)
  }
  return best
}

/** Whether a standing is better: first by what is kept, as far as it is not, then by the goal. */
export function isBetter(a: Standing, b: Standing): boolean {
  const [keptA, keptB] = [Math.min(0, leastKept(a)), Math.min(0, leastKept(b))]
  if (keptA === 0 && keptB === 0) return a.goal > b.goal
  return keptA === 0 || (keptB < 0 && merit(a) > merit(b))
}

const foundAt = (hill: Hill, place: Place): Found => ({ place, standing: hill.look(place) })

const distanceMm = (a: Place, b: Place): number => Math.max(...a.map((v, n) => Math.abs(v - b[n])))

/** The slopes at a place, by looks beside it, inwards where it lies at the end of the box. */
function slopeAt(
  hill: Hill,
  { place, standing }: Found,
  reach: number,
  tried: (found: Found) => Found,
): Slope {
  const stepMm = Math.min(FAR_MM, Math.max(NEAR_MM, reach / 4))
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
