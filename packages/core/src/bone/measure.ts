import {
  type FixtureFrame,
  type FixtureProfile,
  fixtureFrame,
  fixtureProfile,
  type PlannedFixture,
  type SurfaceGrid,
  surfaceGrid,
} from '../fixture/index.js'
import type { Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import type { ScanCalibration } from './calibrate.js'
import { fixtureSurfaceSteps } from './fixture-surface.js'
import type { MarchOptions } from './march.js'
import { type BoneMargin, fastMargin, type MarginMode, refinedMarginSteps } from './margin.js'
import { type BoneModel, type PrepareOptions, prepareBone, stopIfAborted } from './model.js'
import { surfaceMargin } from './surface-margin.js'

/** A fixture on a scan. */
export interface FixtureOnScan {
  readonly fixture: PlannedFixture
  /** The facial direction of the site, LPS; need not be perpendicular to the axis. */
  readonly facial: Vec3
}

export interface MarginOptions extends PrepareOptions, MarchOptions {
  /** `refined` unless given. */
  readonly mode?: MarginMode
  /** Depths and angles of the map; 41 depths and 72 angles unless given. */
  readonly grid?: SurfaceGrid
}

/** Thickness of the cortical plate behind the rays of a map. */
export interface CortexThickness {
  readonly grid: SurfaceGrid
  /** Along the outer surface's normal where the ray leaves bone, mm, depth x angle row by row; NaN where none was fitted. */
  readonly thicknessMm: Float64Array
  /** Half width of its 95 % interval, mm. */
  readonly halfWidthMm: Float64Array
  /** Bits of FLAG_BITS; `thin`: below 1.5 sigma of the blur, where a plate's own thickness cannot be told any more. */
  readonly flags: Uint8Array
}

/**
 * What a scan tells about its own grey levels, sharpness and noise, from the scan alone: soft level, plateau of thick
 * cortical bone, sigma of the point spread (mm), SD and autocovariance of the noise. Once per scan; kept with it.
 *
 * Assumes that bone is the densest tissue in bulk, that some cortex is thicker than 4.5 sigma, and that soft tissue (or,
 * round a dry bone, air) lies outside it. On phantoms: cortical level within 2 %, sigma within 5 %. Not to be trusted
 * where `thickCortex` is false: level and sigma are fallbacks then, and margins may be off by 0.15 mm more.
 * @throws the signal's reason when aborted.
 */
export const calibrate = async (volume: Volume, options: PrepareOptions = {}): Promise<ScanCalibration> =>
  (await prepareBone(volume, options)).calibration

/**
 * Bone round a fixture: along rays perpendicular to its axis (`radialMm`, the map) and by shortest distance
 * (`nearestMm`), LPS mm, negative where the fixture sticks out, each ray with its state, flags and 95 % half width.
 *
 * Fast: the low crossing of the blurred grey, moved by the known blur. Surface: the same, found for the whole site at
 * once; `MarchOptions` do not touch it. Refined: a blurred plate fitted to grey averaged
 * over discs along the surface's normal. Algorithm accuracy on phantoms (docs/accuracy.md): 95 % of rays within 0.025 mm
 * at 0.2 mm voxels, 0.04 at 0.3, 0.06 at 0.4. Real scans are worse: cone-beam thickness agrees with dissection to about
 * 0.35 mm (Timock 2011); motion, scatter and metal are in no interval. Not to be trusted on rays flagged `tooth` (the
 * 0.2 mm between root and bone cannot be seen), `thin`, `leak` or `unrefined`, nor beside metal.
 * @throws the signal's reason when aborted; RangeError for a fixture without size or an axis along the facial direction.
 */
export async function boneMargin(
  volume: Volume,
  { fixture, facial }: FixtureOnScan,
  options: MarginOptions = {},
): Promise<BoneMargin> {
  const frame: FixtureFrame = fixtureFrame(fixture, facial)
  const profile: FixtureProfile = fixtureProfile(fixture.shape)
  const { grid = surfaceGrid(profile), mode = 'refined', signal, pause } = options
  const model = await prepareBone(volume, options)
  if (mode === 'fast') return fastMargin(model, frame, profile, grid, options)
  const steps =
    mode === 'surface'
      ? onSurface(model, frame, profile, grid)
      : refinedMarginSteps(model, frame, profile, grid, options)
  for (;;) {
    stopIfAborted(signal)
    const step = steps.next()
    if (step.done) return step.value
    await pause?.()
  }
}

function* onSurface(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
): Generator<void, BoneMargin> {
  return surfaceMargin(yield* fixtureSurfaceSteps(model, frame, profile.lengthMm), frame, profile, grid)
}

/**
 * Thickness of the cortical plate behind every ray of the map, mm along the normal of the outer surface: the other edge
 * of the plate that the refined margin fits.
 *
 * Assumes one plate with marrow behind it. SD on phantoms 0.02 to 0.05 mm (voxels up to 0.3 mm, noise 100 on a contrast
 * of 1450). Not to be trusted where flagged `thin`, nor where cortex has no marrow behind it within 3.5 mm.
 * @throws as boneMargin.
 */
export async function cortexThickness(
  volume: Volume,
  placed: FixtureOnScan,
  options: Omit<MarginOptions, 'mode'> = {},
): Promise<CortexThickness> {
  const margin = await boneMargin(volume, placed, { ...options, mode: 'refined' })
  return {
    grid: margin.grid,
    thicknessMm: margin.cortexMm,
    halfWidthMm: margin.cortexHalfWidthMm,
    flags: margin.flags,
  }
}
