import { type BoneMargin, type BoneModel, fastMargin, refinedMarginSteps } from '../bone/index.js'
import type { FixtureFrame, FixtureProfile, SurfaceGrid } from '../fixture/index.js'

/** `fast`: for dragging, some milliseconds. `refined`: an edge fitted on every ray, about a second. */
export type MeasureMode = 'fast' | 'refined'

/** The margin in a mode, with a turn to pause between its steps; each step says what share of it is done, 0 to 1. */
export function* measured(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  mode: MeasureMode,
): Generator<number, BoneMargin> {
  return mode === 'fast'
    ? fastMargin(model, frame, profile, grid)
    : yield* refinedMarginSteps(model, frame, profile, grid)
}
