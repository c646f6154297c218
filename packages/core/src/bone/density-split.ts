import type { FixtureProfile } from '../fixture/index.js'
import type { DensitySamples } from './density-samples.js'
import type { BoneMargin } from './margin.js'
import type { BoneModel } from './model.js'

/** What a sample is: not in bone, in the cortical plate, or deeper. */
const NO_BONE = -1
export const CORTICAL = 0
export const CANCELLOUS = 1

export interface BoneSplit {
  /** NO_BONE, CORTICAL or CANCELLOUS for every place; NO_BONE without data. */
  readonly kinds: Int8Array
  /** Share of the samples in bone that were told apart by the fitted plate, 0 to 1; the rest by their grey value. */
  readonly plateShare: number
}

/**
 * Cortical and cancellous apart. Behind a ray whose plate was fitted, cortical is what lies farther out than the outer
 * surface less the plate's thickness along the ray. Elsewhere cortical is what is brighter than the middle between the
 * scan's soft and cortical levels, which calls blurred thin plates cancellous.
 */
export function boneSplit(
  samples: DensitySamples,
  model: BoneModel,
  profile: FixtureProfile,
  margin: BoneMargin,
): BoneSplit {
  const { softGrey, cortexGrey } = model.calibration
  const middle = (softGrey + cortexGrey) / 2
  const innerFaceAt = innerFaces(margin, profile)
  const kinds = new Int8Array(samples.places).fill(NO_BONE)
  let bone = 0
  let byPlate = 0
  for (let n = 0; n < samples.count; n++) {
    if (samples.inBone[n] === 0) continue
    bone++
    const face = innerFaceAt(samples.depthShares[n], samples.anglesDeg[n])
    const fitted = !Number.isNaN(face)
    if (fitted) byPlate++
    const cortical = fitted ? samples.radiiMm[n] > face : samples.greys[n] > middle
    kinds[n] = cortical ? CORTICAL : CANCELLOUS
  }
  return { kinds, plateShare: bone > 0 ? byPlate / bone : 0 }
}

/**
 * Distance from the axis to the inner face of the plate at a place, between the four rays about it; that of the nearest
 * one where others have none, NaN where it has none either. Rays lie evenly in depth and angle.
 */
function innerFaces(
  margin: BoneMargin,
  profile: FixtureProfile,
): (depthShare: number, angleDeg: number) => number {
  if (margin.mode !== 'refined') return () => Number.NaN
  const rows = margin.grid.depthsMm.length
  const columns = margin.grid.anglesDeg.length
  const faces = margin.cortexMm.map((mm, n) => margin.hits.radiusMm[n] - mm / cosine(margin, profile, n))
  const at = (row: number, column: number) => faces[row * columns + (column % columns)]
  return (depthShare, angleDeg) => {
    const depth = depthShare * (rows - 1)
    const angle = (angleDeg / 360) * columns
    const row = Math.min(rows - 2, Math.floor(depth))
    const column = Math.floor(angle)
    const v = depth - row
    const u = angle - column
    const above = at(row, column) * (1 - u) + at(row, column + 1) * u
    const below = at(row + 1, column) * (1 - u) + at(row + 1, column + 1) * u
    const between = above * (1 - v) + below * v
    return Number.isNaN(between) ? at(Math.round(depth), Math.round(angle)) : between
  }
}

/** The rays beside one say that it meets the surface more slantingly than this only where the surface jumps. */
const LEAST_COSINE = 0.3

/** Cosine between a ray and the normal of the outer surface, from the rays beside it. */
function cosine({ grid, hits }: BoneMargin, profile: FixtureProfile, n: number): number {
  const columns = grid.anglesDeg.length
  const r = hits.radiusMm
  const around = n - (n % columns)
  const left = r[around + ((n + columns - 1) % columns)]
  const right = r[around + ((n + 1) % columns)]
  const turn = (2 * Math.PI * r[n]) / columns
  const along = profile.lengthMm / (grid.depthsMm.length - 1)
  const steepness = Math.hypot(
    slope(left, r[n], right) / turn,
    slope(r[n - columns], r[n], r[n + columns]) / along,
  )
  return Math.max(LEAST_COSINE, 1 / Math.hypot(1, steepness))
}

/** Change per step from what there is of the value before and the value after. */
function slope(before: number | undefined, here: number, after: number | undefined): number {
  const changes = [here - (before ?? Number.NaN), (after ?? Number.NaN) - here].filter(
    (c) => !Number.isNaN(c),
  )
  return changes.length === 0 ? 0 : changes.reduce((a, b) => a + b) / changes.length
}
