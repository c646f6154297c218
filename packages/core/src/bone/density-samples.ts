import { axisPoint, type FixtureFrame, type FixtureProfile, radiusAtMm } from '../fixture/index.js'
import { toIndex, transformDirection } from '../space/index.js'
import { cubicSampler } from './density-sampler.js'
import { INSIDE, UNSCANNED } from './exterior.js'
import type { BoneModel } from './model.js'

/** Samples side by side: `count` with data first, then the places without data, whose grey is NaN. */
export interface DensitySamples {
  readonly count: number
  /** All places, with data and without. */
  readonly places: number
  /** Share of their volume that holds no data or lies outside the scan, 0 to 1. */
  readonly noDataShare: number
  readonly greys: Float64Array
  /** The volume each stands for, mm3. */
  readonly weights: Float64Array
  /** 1 where the sample lies in bone. */
  readonly inBone: Uint8Array
  /** 0 at the platform, 1 at the apex. */
  readonly depthShares: Float64Array
  readonly anglesDeg: Float64Array
  /** Distance from the axis, mm. */
  readonly radiiMm: Float64Array
}

interface Rings {
  readonly rings: number
  readonly angles: number
  readonly depths: number
}

const CORE: Rings = { rings: 6, angles: 24, depths: 40 }
const SHELL: Rings = { rings: 3, angles: 24, depths: 40 }
export const SHELL_WIDTH_MM = 0.5
/** Moves the circle inside its ring from level to level, so that radii never line up either. */
const GOLDEN_RATIO = 0.6180339887498949
/** Turns each ring and level by the golden angle, so that samples never line up with the voxels. */
const GOLDEN_DEG = 137.50776405003785
const RADIANS = Math.PI / 180

/** Stratified samples inside the fixture body (equal-area rings); those outside the scan are left out. */
export const coreSamples = (model: BoneModel, frame: FixtureFrame, profile: FixtureProfile): DensitySamples =>
  ringSamples(model, frame, profile, CORE, (r) => [0, r])

/** The same within 0.5 mm outside the fixture's surface. */
export const shellSamples = (
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
): DensitySamples => ringSamples(model, frame, profile, SHELL, (r) => [r, r + SHELL_WIDTH_MM])

function ringSamples(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  { rings, angles, depths }: Rings,
  bounds: (radiusMm: number) => readonly [number, number],
): DensitySamples {
  const places = rings * angles * depths
  const greys = new Float64Array(places)
  const weights = new Float64Array(places)
  const inBone = new Uint8Array(places)
  const depthShares = new Float64Array(places)
  const anglesDeg = new Float64Array(places)
  const radiiMm = new Float64Array(places)
  const sample = cubicSampler(model.volume)
  const cellAt = cellReader(model)
  const spokesDeg = Array.from({ length: angles }, (_, n) => (360 * n) / angles)
  const cosines = Float64Array.from(spokesDeg, (deg) => Math.cos(deg * RADIANS))
  const sines = Float64Array.from(spokesDeg, (deg) => Math.sin(deg * RADIANS))
  const facial = transformDirection(model.volume.worldToIndex, frame.x)
  const side = transformDirection(model.volume.worldToIndex, frame.y)
  let count = 0
  let lost = 0
  let lostWeight = 0
  let weight = 0
  for (let level = 0; level < depths; level++) {
    const depthShare = (level + 0.5) / depths
    const centre = toIndex(model.volume.worldToIndex, axisPoint(frame, depthShare * profile.lengthMm))
    const [inner, outer] = bounds(radiusAtMm(profile, depthShare * profile.lengthMm))
    const area = outer * outer - inner * inner
    const mm3 = (Math.PI * area * profile.lengthMm) / places
    const within = ((level + 0.5) * GOLDEN_RATIO) % 1
    for (let ring = 0; ring < rings; ring++) {
      const radius = Math.sqrt(inner * inner + (area * (ring + within)) / rings)
      const twistDeg = ((level * rings + ring) * GOLDEN_DEG) % 360
      const cosine = radius * Math.cos(twistDeg * RADIANS)
      const sine = radius * Math.sin(twistDeg * RADIANS)
      for (let n = 0; n < angles; n++) {
        const u = cosine * cosines[n] - sine * sines[n]
        const v = sine * cosines[n] + cosine * sines[n]
        const i = centre[0] + u * facial[0] + v * side[0]
        const j = centre[1] + u * facial[1] + v * side[1]
        const k = centre[2] + u * facial[2] + v * side[2]
        const grey = sample(i, j, k)
        const cell = Number.isNaN(grey) ? UNSCANNED : cellAt(i, j, k)
        // Beside missing data nothing tells bone from what is not.
        const known = cell !== UNSCANNED
        const at = known ? count++ : places - 1 - lost++
        greys[at] = known ? grey : Number.NaN
        weights[at] = mm3
        inBone[at] = cell === INSIDE ? 1 : 0
        depthShares[at] = depthShare
        const angleDeg = twistDeg + spokesDeg[n]
        anglesDeg[at] = angleDeg < 360 ? angleDeg : angleDeg - 360
        radiiMm[at] = radius
        weight += mm3
        if (!known) lostWeight += mm3
      }
    }
  }
  const noDataShare = lostWeight / weight
  return { count, places, noDataShare, greys, weights, inBone, depthShares, anglesDeg, radiiMm }
}

/** What the nearest cell of the flood is, at a point in index space inside the scan. */
function cellReader({ exterior }: BoneModel): (i: number, j: number, k: number) => number {
  const { cells } = exterior
  const [nx, ny, nz] = exterior.shape
  const [lastX, lastY, lastZ] = [nx - 1, ny - 1, nz - 1]
  const [stepX, stepY, stepZ] = exterior.step
  return (i, j, k) => {
    const x = Math.min(lastX, (i / stepX + 0.5) | 0)
    const y = Math.min(lastY, (j / stepY + 0.5) | 0)
    const z = Math.min(lastZ, (k / stepZ + 0.5) | 0)
    return cells[x + nx * (y + ny * z)]
  }
}
