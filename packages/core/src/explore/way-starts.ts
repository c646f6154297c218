import type { ExploredSite } from './explored-site.js'
import type { WayOut } from './held-limit.js'
import { limitReadings, type MeasuredPose } from './limit-readings.js'
import type { PoseMeter } from './pose-meter.js'
import type { WayGoal } from './way-goals.js'
import { apartMm, type Place, type WaySpace } from './way-space.js'
import { leastKept, standing } from './way-standing.js'
import { reserveMm, type WayValues, wayValues } from './way-values.js'

/** How far apart starts are looked for, by coordinate of a place, mm. Own choice: hollows of a jaw are wider. */
const APART_MM = [1, 1, 0.5, 1, 1.5]
/** A platform that misses its limits by no more may be half a step from one that holds them, mm. */
const NEAR_MISS_MM = 0.7
/** The graft, which takes longest, is measured where the exit is no farther from where it is wanted, mm: a step of tilt. */
const NEAR_EXIT_MM = 1.5
/** So many places are measured at least, where there are so many, and at most. Own choice: a third of a second. */
const FEWEST = 300
const MOST = 2000
/** Between two turns of whoever runs the steps: some 10 ms. */
const PLATFORMS_A_STEP = 128
const POSES_A_STEP = 16
/** Violations cost less than in a climb: what is near a good place may be better than what is allowed. Own choice. */
const COST = 2
/** Starts lie so far apart, mm. Own choice. */
const START_APART_MM = 1.2

/** A place of the lattice and how it stands to every way, without walls. */
export interface LatticePlace {
  readonly place: Place
  readonly values: Readonly<Record<WayOut, WayValues>>
}

/** Places all over the box, an equal step apart in each coordinate, in the middle of their cells where there are few. */
export function latticeOf({ low, high }: WaySpace): Place[] {
  const axes = low.map((from, n) => {
    const count = Math.max(1, Math.round((high[n] - from) / APART_MM[n]))
    return Array.from({ length: count }, (_, k) => from + ((high[n] - from) * (k + 0.5)) / count)
  })
  return axes.reduce<Place[]>(
    (places, axis) => places.flatMap((place) => axis.map((at) => [...place, at])),
    [[]],
  )
}

/**
 * Measures the lattice: everywhere how the platform lies under the crown, the rest where that is near its limits. Yields
 * the share done.
 */
export function* measureLattice(
  site: ExploredSite,
  meter: PoseMeter,
  space: WaySpace,
): Generator<number, LatticePlace[]> {
  const found: LatticePlace[] = []
  const worth = yield* worthMeasuring(site, meter, space)
  for (const place of worth) {
    const pose = space.poseAt(place)
    const exit = meter.exit(pose)
    const measured: MeasuredPose = {
      bone: meter.bone(pose, (exit.insideMm ?? Number.NEGATIVE_INFINITY) > -NEAR_EXIT_MM),
      exit,
      platform: meter.platform(pose),
      correctionDeg: meter.correctionDeg(pose),
      clearanceMm: meter.clearanceMm(pose),
    }
    const values = (way: WayOut): WayValues => wayValues(way, site, measured)
    found.push({
      place,
      values: {
        straight: values('straight'),
        'straight-graft': values('straight-graft'),
        angled: values('angled'),
        cemented: values('cemented'),
      },
    })
    if (found.length % POSES_A_STEP === 0) yield found.length / worth.length
  }
  return found
}

/** The places whose platform lies near its limits. */
function* worthMeasuring(
  { limits, plan }: ExploredSite,
  meter: PoseMeter,
  space: WaySpace,
): Generator<number, readonly Place[]> {
  const all: { readonly place: Place; readonly reserve: number }[] = []
  for (const place of latticeOf(space)) {
    const platform = meter.platform(space.poseAt(place))
    const reserves = limitReadings('straight', limits, plan.site.tooth, { platform }).map(reserveMm)
    all.push({ place, reserve: Math.min(...reserves) })
    if (all.length % PLATFORMS_A_STEP === 0) yield 0
  }
  all.sort((a, b) => b.reserve - a.reserve)
  const near = all.filter(({ reserve }) => reserve >= -NEAR_MISS_MM).length
  const kept = all.slice(0, Math.max(FEWEST, near))
  // Too many are thinned evenly: the order is that of reserves, which has nothing to do with bone.
  const every = Math.max(1, kept.length / MOST)
  return kept
    .filter((_, n) => Math.floor(n / every) !== Math.floor((n - 1) / every))
    .map(({ place }) => place)
}

/** The best places of a lattice for a goal that lie apart, the best first. */
export function startsFor(
  lattice: readonly LatticePlace[],
  way: WayOut,
  goal: WayGoal,
  count: number,
): Place[] {
  const scored = lattice
    .map(({ place, values }) => {
      const at = standing(goal.pieces(values[way]), goal.kept(values[way]))
      return { place, score: at.goal + COST * Math.min(0, leastKept(at)) }
    })
    .sort((a, b) => b.score - a.score)
  const starts: Place[] = []
  for (const { place } of scored) {
    if (starts.length === count) break
    if (starts.every((other) => apartMm(place, other) >= START_APART_MM)) starts.push(place)
  }
  return starts
}
