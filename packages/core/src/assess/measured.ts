import {
  type BoneMargin,
  type BoneModel,
  fastMargin,
  fixtureSurfaceSteps,
  type MarginMode,
  refinedMarginSteps,
  type SiteSurface,
  surfaceMargin,
} from '../bone/index.js'
import type { FixtureFrame, FixtureProfile, SurfaceGrid } from '../fixture/index.js'

/**
 * `fast`: for dragging, some milliseconds. `surface`: as thousands of poses are measured, some milliseconds once the site's
 * surface is found, which takes about a second. `refined`: an edge fitted on every ray, about a second.
 */
export type MeasureMode = MarginMode

/**
 * The margin in a mode, with a turn to pause between its steps; each step says what share of it is done, 0 to 1.
 * @param surface for the mode of that name; found, and kept with the model, when absent.
 */
export function* measured(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  mode: MeasureMode,
  surface?: SiteSurface,
): Generator<number, BoneMargin> {
  if (mode === 'fast') return fastMargin(model, frame, profile, grid)
  if (mode === 'refined') return yield* refinedMarginSteps(model, frame, profile, grid)
  return surfaceMargin(surface ?? (yield* found(model, frame, profile)), frame, profile, grid)
}

function* found(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
): Generator<number, SiteSurface> {
  const steps = fixtureSurfaceSteps(model, frame, profile.lengthMm)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
    yield 0
  }
}
