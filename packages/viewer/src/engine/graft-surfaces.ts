import {
  type BoneModel,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  type GraftMeshes,
  graftField,
  graftMeshSteps,
  type Plan,
  surfaceGrid,
} from '@alveometer/core'
import { turn } from './turn.js'

export interface GraftSurfacesRequest {
  readonly plan: Plan
  /** Edge of the grid that the surfaces are found on, mm. */
  readonly stepMm: number
}

/** The bodies of a plan's graft, LPS mm, to look at; null where there is nothing to graft. */
export async function graftSurfaces(
  bone: BoneModel,
  { plan, stepMm }: GraftSurfacesRequest,
  signal: AbortSignal,
): Promise<GraftMeshes | null> {
  const { fixture, site, graft: spec } = plan
  if (spec === undefined) return null
  // A turn first: of those asked for at once only the last is made.
  await turn()
  signal.throwIfAborted()
  const frame = fixtureFrame(fixture, site.facial)
  const profile = fixtureProfile(fixture.shape)
  const margin = fastMargin(bone, frame, profile, surfaceGrid(profile))
  const field = graftField({ margin, frame, profile, spec, site })
  if (field === null) return null
  const steps = graftMeshSteps(field, frame, stepMm)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
    await turn()
    signal.throwIfAborted()
  }
}
