import { type BoneModel, boneModel } from '../bone/index.js'
import { fixtureFrame, fixtureProfile, surfaceGrid } from '../fixture/index.js'
import { type GraftMeshes, graftField, graftMeshes } from '../graft/index.js'
import type { Plan } from '../plan/index.js'
import type { Volume } from '../volume/index.js'
import { type MeasureMode, measured } from './measured.js'

export interface GraftMeshOptions {
  /** The margin it lies on; `fast` when absent. */
  readonly mode?: MeasureMode
  /** The scan's bone model; made on first use and kept with the volume when absent. */
  readonly bone?: BoneModel
  /** Edge of the cells the surfaces are found in, mm. */
  readonly stepMm?: number
}

/**
 * The surfaces of a plan's graft, closed, LPS mm: of the same graft as in its assessment in the same mode. Null where the
 * plan has none or it comes to nothing.
 */
export function plannedGraftMeshes(
  volume: Volume,
  plan: Plan,
  { mode = 'fast', bone, stepMm }: GraftMeshOptions = {},
): GraftMeshes | null {
  if (plan.graft === undefined) return null
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const profile = fixtureProfile(plan.fixture.shape)
  const run = measured(bone ?? boneModel(volume), frame, profile, surfaceGrid(profile), mode)
  let step = run.next()
  while (!step.done) step = run.next()
  const field = graftField({ margin: step.value, frame, profile, spec: plan.graft, site: plan.site })
  return field === null ? null : graftMeshes(field, frame, stepMm)
}
