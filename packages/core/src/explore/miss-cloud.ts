import { type AbortSignal, stopIfAborted } from '../bone/index.js'
import { standardNormals } from './draws.js'
import type { ExploredSite } from './explored-site.js'
import type { LimitsCounted, WayOut } from './held-limit.js'
import { CloudInTheMaking } from './miss-cloud-making.js'
import type { MissCloud, PlacementError } from './miss-cloud-result.js'
import { GREATEST_SCALE, tolerableScale, usualLooks, WANTED_SHARE } from './miss-cloud-tolerable.js'
import { plannedWay } from './miss-cloud-way.js'
import { checkPlacementError, guidedError } from './placement-error.js'
import { misplacing, NORMALS_OF_A_POSE } from './placement-error-pose.js'
import { surfaceUncertaintyMm } from './surface-uncertainty.js'

/** A cloud is told of after so many draws, and after all. */
const STAGES = [500, 2000]
/** Draws between two turns of whoever runs the steps: a few ms. */
const DRAWS_A_STEP = 64
/** Draws by which the tolerable error is sought. */
const TOLERABLE_DRAWS = 2000
/** Fewer say nothing, more take minutes. Own choice. */
const DRAWS_BETWEEN = [100, 1_000_000] as const

const NORMALS_OF_A_DRAW = NORMALS_OF_A_POSE + 1

export interface MissCloudOptions {
  /** guidedError() when absent. */
  readonly error?: PlacementError
  /** 10 000 when absent. */
  readonly draws?: number
  /** A whole number from 0 to 2^32 - 1; 1 when absent. The same seed always gives the same cloud. */
  readonly seed?: number
  /** `all` when absent. The others are told of, and count in no sum. */
  readonly counted?: LimitsCounted
  /** What the plan is held to. When absent: see plannedWay. */
  readonly way?: WayOut
  /**
   * Whether the surface of bone may lie elsewhere than it was found, true when absent: one shift for each placement, normal,
   * its SD the shown half width / 1.96. The whole surface is shifted at once, since it is found by levels of grey that the
   * whole scan shares: a shift s adds s to every margin, along rays and nearest.
   */
  readonly surface?: boolean
  readonly signal?: AbortSignal
  /** Share of the work that is done, 0 to 1, at least. */
  readonly onProgress?: (share: number) => void
  /** A cloud of the first draws, while the rest is drawn. */
  readonly onCloud?: (cloud: MissCloud) => void
  /** Called between steps; give the event loop a turn here so that an abort can arrive. */
  readonly pause?: () => Promise<void>
}

/**
 * The plan under placement error. Each draw is one rigid motion of the fixture (see misplacing) and one shift of the bone
 * surface, and is measured as any other pose. Yields clouds of 500, 2000 and all draws, their tolerable error not yet
 * worked out, and between them what share of the work is done; returns the complete cloud.
 * @throws RangeError naming the option that cannot be used; as fixtureFrame.
 */
export function* missCloudSteps(
  site: ExploredSite,
  options: Omit<MissCloudOptions, 'signal' | 'onProgress' | 'onCloud' | 'pause'> = {},
): Generator<MissCloud | number, MissCloud> {
  const { draws = 10_000, seed = 1, surface = true, counted = 'all' } = options
  const error = checkPlacementError(options.error ?? guidedError())
  if (!Number.isInteger(draws) || draws < DRAWS_BETWEEN[0] || draws > DRAWS_BETWEEN[1])
    throw new RangeError(
      `miss cloud: draws must be a whole number from ${DRAWS_BETWEEN[0]} to ${DRAWS_BETWEEN[1]}, got ${draws}`,
    )
  const way = options.way ?? plannedWay(site)
  const surfaceSdMm = surface ? surfaceSd(site) : 0
  const normals = standardNormals(seed, draws * NORMALS_OF_A_DRAW)
  const misplace = misplacing(site.plan, error)
  const poseOf = (draw: number, scale: number) => misplace(normals, draw * NORMALS_OF_A_DRAW, scale)
  const shiftOf = (draw: number) => surfaceSdMm * normals[(draw + 1) * NORMALS_OF_A_DRAW - 1]
  const making = new CloudInTheMaking(site, { way, error, surfaceSdMm, counted, draws, seed }, shiftOf)

  const sought = Math.min(draws, TOLERABLE_DRAWS)
  const work = draws + usualLooks(sought)
  for (let draw = 0; draw < draws; draw++) {
    making.add(poseOf(draw, 1), shiftOf(draw))
    const done = draw + 1
    if (STAGES.includes(done) && done < draws) yield making.cloud()
    else if (done % DRAWS_A_STEP === 0) yield done / work
  }
  const drawn = making.cloud()
  yield drawn
  if (making.allHoldStill < WANTED_SHARE) return { ...drawn, complete: true }
  const { meter } = making
  const looking = tolerableScale(sought, (draw, scale) => meter.keepsAll(poseOf(draw, scale), shiftOf(draw)))
  for (;;) {
    const look = looking.next()
    if (look.done) return { ...drawn, tolerable: tolerated(error, look.value), complete: true }
    yield Math.min(0.99, (draws + look.value) / work)
  }
}

/**
 * missCloudSteps run to their end, with pauses.
 * @throws the signal's reason when aborted between steps; RangeError as missCloudSteps.
 */
export async function missCloud(
  site: ExploredSite,
  { signal, onProgress, onCloud, pause, ...options }: MissCloudOptions = {},
): Promise<MissCloud> {
  const steps = missCloudSteps(site, options)
  for (;;) {
    stopIfAborted(signal)
    const step = steps.next()
    if (step.done) return step.value
    if (typeof step.value === 'number') onProgress?.(step.value)
    else onCloud?.(step.value)
    await pause?.()
  }
}

const surfaceSd = ({ model }: ExploredSite): number => surfaceUncertaintyMm(model) / 1.96

const tolerated = ({ entrySdMm, tiltSdDeg }: PlacementError, scale: number): MissCloud['tolerable'] => ({
  scale,
  entrySdMm: {
    facial: scale * entrySdMm.facial,
    mesial: scale * entrySdMm.mesial,
    apical: scale * entrySdMm.apical,
  },
  tiltSdDeg: scale * tiltSdDeg,
  atLeast: scale === GREATEST_SCALE,
})
