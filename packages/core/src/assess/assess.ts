import {
  type AbortSignal,
  type BoneModel,
  boneModel,
  type Progress,
  prepareBone,
  type SiteSurface,
} from '../bone/index.js'
import { fixtureFrame, fixtureProfile, surfaceGrid } from '../fixture/index.js'
import type { Plan } from '../plan/index.js'
import type { Mesh } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import type { AssessedScan, Assessment } from './assessment.js'
import { CAUTIONS } from './cautions.js'
import { densityResult } from './density-result.js'
import { findingsOf } from './findings.js'
import { shownInterval } from './interval.js'
import { resolveLimits } from './limits.js'
import { marginResult } from './margin-result.js'
import { type MeasureMode, measured } from './measured.js'
import { graftKnown } from './planned-graft.js'
import { restoration } from './restoration.js'
import { retentionFindings } from './retention.js'
import { sectorsOf } from './sectors.js'

export interface AssessOptions {
  /** `fast` when absent. In `surface` missing bone is reckoned on fewer rays: see quickGraftGrid. */
  readonly mode?: MeasureMode
  /** The scan's bone model; made on first use and kept with the volume when absent. */
  readonly bone?: BoneModel
  /**
   * The site's surface for the mode of that name, found on the same bone model, with 11 mm all round the fixture; found on
   * first use and kept with the model when absent.
   */
  readonly surface?: SiteSurface
  /** The mesh of a plan's `mesh` crown, mm, as in its file; closed, wound outward. */
  readonly crownMesh?: Mesh
}

/** `margin`: the refined measurement; the other stages come first where no bone model was given. */
export interface AssessProgress extends Omit<Progress, 'stage'> {
  readonly stage: Progress['stage'] | 'margin'
}

export interface AssessSteps extends AssessOptions {
  readonly signal?: AbortSignal
  readonly onProgress?: (progress: AssessProgress) => void
  /** Called between steps; give the event loop a turn here so that an abort can arrive. */
  readonly pause?: () => Promise<void>
}

/**
 * Where the access channel leaves the crown and how it may be held, how much bone is left all the way round and what a
 * graft changes of it, and what the bone is like, on 72 angles x 41 depths. Same volume and plan in, same numbers out.
 *
 * Lengths in mm, angles in degrees, grey in the volume's own unit. The plan is taken as checked by readPlan.
 * Algorithm accuracy on phantoms, fast: 95 % of rays within 0.03 mm (0.2 mm voxels) to 0.08 mm (0.4 mm voxels); a real
 * scan is worse, see the cautions. A ray that meets a neighbouring tooth may not know it: look at the section.
 * @throws RangeError when a limit is unknown or out of its plausible range, the pose is not rigid, a mesh crown comes without its mesh, or the surface is of another scan.
 */
export function assess(volume: Volume, plan: Plan, options: AssessOptions = {}): Assessment {
  const run = assessment(options.bone ?? options.surface?.model ?? boneModel(volume), plan, options)
  let step = run.next()
  while (!step.done) step = run.next()
  return step.value
}

/**
 * The same as `assess`, to the last digit, with pauses between its steps: for a worker that must hear of newer plans.
 * @throws the signal's reason when aborted between steps; else as assess.
 */
export async function assessInSteps(
  volume: Volume,
  plan: Plan,
  options: AssessSteps = {},
): Promise<Assessment> {
  const { signal, onProgress, pause } = options
  const known = options.bone ?? options.surface?.model
  const run = assessment(known ?? (await prepareBone(volume, options)), plan, options)
  for (;;) {
    if (signal?.aborted) throw signal.reason ?? new Error('aborted')
    const step = run.next()
    if (step.done) return step.value
    onProgress?.({ stage: 'margin', done: step.value, total: 1 })
    await pause?.()
  }
}

/** Yields the share of the measurement that is done. */
function* assessment(model: BoneModel, plan: Plan, options: AssessOptions): Generator<number, Assessment> {
  const { mode = 'fast', surface } = options
  if (surface !== undefined && surface.model !== model)
    throw new RangeError('the surface was found on another scan, or with other masks, than is assessed')
  const limits = resolveLimits(plan.site.tooth, plan.limits)
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const profile = fixtureProfile(plan.fixture.shape)
  const sectors = sectorsOf(plan.site.tooth)
  const overFixture = restoration(plan, profile, limits, options.crownMesh)
  const boneMargin = yield* measured(model, frame, profile, surfaceGrid(profile), mode, surface)
  const margin = marginResult(boneMargin, profile, sectors, limits, shownInterval(model))
  const graft = graftKnown({ plan, frame, profile, sectors, limits, boneMargin, margin })
  const density = densityResult(model, frame, profile, sectors, plan.calibration, boneMargin)
  return {
    schema: 'alveometer-assessment',
    version: 1,
    scan: scanOf(model.volume),
    ...overFixture,
    retention: retentionFindings(plan.site.tooth, overFixture, limits),
    margin,
    graft: graft.graft,
    graftNeeded: graft.needed,
    density,
    calibration: model.calibration,
    findings: findingsOf(plan, model, overFixture, margin, graft, density, limits),
    cautions: CAUTIONS,
  }
}

const scanOf = ({ identity, spacingMm, grey, remarks, confirmed }: Volume): AssessedScan => ({
  ...identity,
  spacingMm,
  unit: grey.unit,
  remarks,
  ...(confirmed === undefined ? {} : { confirmed }),
})
