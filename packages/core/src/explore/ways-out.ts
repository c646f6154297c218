import { type AbortSignal, stopIfAborted } from '../bone/index.js'
import type { FixtureShape } from '../fixture/index.js'
import type { ExploredSite } from './explored-site.js'
import { WAYS_OUT, type WayOut } from './held-limit.js'
import type { PoseMeter } from './pose-meter.js'
import { wayFound } from './way-found.js'
import { firstSearch, searchWay, type WayQuestion } from './way-search.js'
import { betterOf } from './way-shapes.js'
import { type Place, type WayBox, wayBox, waySpace } from './way-space.js'
import { measureLattice } from './way-starts.js'
import { waysAnswer } from './ways-out-answer.js'
import type { WayFound, WaysOut } from './ways-out-result.js'

export interface WaysOutSpec {
  /** Shapes that are tried; the plan's own when absent. Of two that come to the same the wider wins, then the longer. */
  readonly shapes?: readonly FixtureShape[]
  /** Margins are held to their limit and so much more, mm, so that a refined measurement still meets it; 0.1 when absent. */
  readonly inHandMm?: number
  /** Where the fixture is looked for, in place of the usual box. */
  readonly box?: Partial<WayBox>
}

export interface WaysOutOptions extends WaysOutSpec {
  readonly signal?: AbortSignal
  /** Share of the work that is done, 0 to 1. */
  readonly onProgress?: (share: number) => void
  /** A first answer, while the rest is searched. */
  readonly onWays?: (ways: WaysOut) => void
  /** Called between steps; give the event loop a turn here so that an abort can arrive. */
  readonly pause?: () => Promise<void>
}

/** Own choice: half the 95 % interval of a refined margin. */
const IN_HAND_MM = 0.1
/** Share of the time that the lattice takes, about. */
const LATTICE_SHARE = 0.3
/** Climbs of a search, about: for what share is done. */
const ROUNDS_A_WAY = 350
/** Cemented first: its summit has most bone of all, a start for the others. */
const ORDER = ['cemented', 'straight', 'straight-graft', 'angled'] as const
/** Starts from the lattice. Own choice: sites with more than two summits were not seen. */
const STARTS = 6
/** Starts from the lattice for a shape after the first, which begins at what the others came to. */
const LATER_STARTS = 2

/**
 * The best placement of each way out, searched over place and tilt of the fixture and over the shapes. Channel and platform
 * keep their limits first, then bone: see `WayFound`. Yields what share is done, and a first answer after a quarter of the time.
 * The same site and spec always give the same answer.
 * @throws RangeError for a box, shapes or inHandMm that cannot be searched, or a crown of another tooth.
 */
export function* waysOutSteps(
  site: ExploredSite,
  spec: WaysOutSpec = {},
): Generator<WaysOut | number, WaysOut> {
  const inHandMm = spec.inHandMm ?? IN_HAND_MM
  if (!(inHandMm >= 0 && inHandMm <= 1))
    throw new RangeError(`ways out: inHandMm must lie between 0 and 1 mm, got ${inHandMm}`)
  const shapes = spec.shapes ?? [site.plan.fixture.shape]
  const meters: PoseMeter[] = []
  for (const shape of shapes) {
    meters.push(site.meter(shape))
    yield 0
  }
  const [firstMeter] = meters
  if (firstMeter === undefined) throw new RangeError('ways out: shapes must not be empty')
  const space = waySpace(site, wayBox(site.limits, spec.box))
  const answer = waysAnswer(site, meters, inHandMm)
  let measured = 0
  const onPose = (): void => {
    measured++
  }
  const question = (way: WayOut, meter: PoseMeter): WayQuestion => ({
    ...{ site, meter, space, way, inHandMm, onPose },
  })
  const found = (way: WayOut, meter: PoseMeter, place: Place, complete: boolean): WayFound =>
    wayFound(way, site, meter, space.poseAt(place), { inHandMm, complete })

  const lattice = yield* shared(measureLattice(site, firstMeter, space), 0, LATTICE_SHARE)
  measured += lattice.length
  const first: WayFound[] = []
  for (const way of WAYS_OUT) {
    const place = yield* shared(firstSearch(question(way, firstMeter), lattice), LATTICE_SHARE, 0)
    first.push(found(way, firstMeter, place, false))
  }
  yield answer(first, measured, false)

  const best = new Map<WayOut, WayFound>()
  const places: Place[] = [space.placeOf(site.plan.fixture)]
  const width = (1 - LATTICE_SHARE) / (meters.length * ORDER.length)
  let share = LATTICE_SHARE
  for (const meter of meters)
    for (const way of ORDER) {
      const isFirst = meter === firstMeter
      const before = best.get(way)
      const also = before === undefined ? places : [...places, space.placeOf(before.pose)]
      const search = searchWay(question(way, meter), lattice, also, isFirst ? STARTS : LATER_STARTS)
      const place = yield* shared(search, share, width)
      if (isFirst) places.push(place)
      best.set(way, betterOf(before, found(way, meter, place, true)))
      share += width
    }
  return answer([...best.values()], measured, true)
}

/**
 * waysOutSteps run to their end, with pauses.
 * @throws the signal's reason when aborted between steps; RangeError as waysOutSteps.
 */
export async function waysOut(
  site: ExploredSite,
  { signal, onProgress, onWays, pause, ...spec }: WaysOutOptions = {},
): Promise<WaysOut> {
  const steps = waysOutSteps(site, spec)
  for (;;) {
    stopIfAborted(signal)
    const step = steps.next()
    if (step.done) return step.value
    if (typeof step.value === 'number') onProgress?.(step.value)
    else onWays?.(step.value)
    await pause?.()
  }
}

/** Steps whose share is one of a larger whole: a number is a share, of rounds nobody knows how many there will be. */
function* shared<T>(steps: Generator<unknown, T>, from: number, width: number): Generator<number, T> {
  for (let round = 1; ; round++) {
    const step = steps.next()
    if (step.done) return step.value
    yield from + width * (typeof step.value === 'number' ? step.value : 1 - Math.exp(-round / ROUNDS_A_WAY))
  }
}
