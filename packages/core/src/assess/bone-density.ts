import { boneMargin, type FixtureOnScan, type MarginOptions, prepareBone } from '../bone/index.js'
import { fixtureFrame, fixtureProfile } from '../fixture/index.js'
import type { PlannedCalibration } from '../plan/index.js'
import type { Volume } from '../volume/index.js'
import { type DensityResult, densityResult } from './density-result.js'
import { sectorsOf } from './sectors.js'

/** A fixture on a scan, and the tooth it replaces (ISO 3950), by which sides are named. */
export interface FixtureAtTooth extends FixtureOnScan {
  readonly tooth: string
}

export interface DensityOptions extends MarginOptions {
  /** Points by which grey values become Hounsfield units; without them grey stays grey. */
  readonly calibration?: PlannedCalibration
}

/**
 * Grey inside the fixture's body (`core`) and in the 0.5 mm round it (`shell`): mean, SD and percentiles by level, sector
 * and depth, plain and of bone alone, cortical and cancellous apart. Stratified trilinear samples in equal-area rings:
 * within 0.5 % of quadrature at voxels of 0.1 to 0.4 mm (docs/accuracy.md).
 *
 * Assumes a scan without metal near by. Grey values of cone-beam scans differ between units and places and are not
 * Hounsfield units (Campos 2014, World J Radiol 6:607); with `calibration` they are estimates with the interval given.
 * @throws the signal's reason when aborted; RangeError as boneMargin, for an unknown tooth, and for calibration points
 *   that make no rising line.
 */
export async function boneDensity(
  volume: Volume,
  placed: FixtureAtTooth,
  options: DensityOptions = {},
): Promise<DensityResult> {
  const sectors = sectorsOf(placed.tooth)
  const margin = await boneMargin(volume, placed, options)
  const model = await prepareBone(volume, options)
  const frame = fixtureFrame(placed.fixture, placed.facial)
  return densityResult(
    model,
    frame,
    fixtureProfile(placed.fixture.shape),
    sectors,
    options.calibration,
    margin,
  )
}
