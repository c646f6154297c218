import { axisPoint, type FixtureFrame, type FixtureProfile, radiusAtMm } from '../fixture/index.js'
import { toIndex, transformDirection } from '../space/index.js'
import { createSampler } from '../volume/index.js'
import { INSIDE, UNSCANNED } from './exterior.js'
import type { BoneModel } from './model.js'

/** Grey values in a place, each weighted by the volume its sample stands for. */
export interface DensityStatistics {
  readonly mean: number
  readonly sd: number
  readonly p5: number
  readonly median: number
  readonly p95: number
  /** Mean over the samples that lie in bone; null when none does. */
  readonly boneMean: number | null
  /** Share of the samples that lie in bone, 0 to 1. */
  readonly boneShare: number
  readonly samples: number
}

/** Samples side by side; `count` of them are filled, the places without data are left out. */
export interface DensitySamples {
  readonly count: number
  /** Share of the places that hold no data or lie outside the scan, 0 to 1. */
  readonly noDataShare: number
  readonly greys: Float64Array
  readonly weights: Float64Array
  /** 1 where the sample lies in bone. */
  readonly inBone: Uint8Array
  /** 0 at the platform, 1 at the apex. */
  readonly depthShares: Float64Array
  readonly anglesDeg: Float64Array
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

/** Stratified trilinear samples inside the fixture body (equal-area rings); those outside the scan are left out. */
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
  const most = rings * angles * depths
  const samples = {
    greys: new Float64Array(most),
    weights: new Float64Array(most),
    inBone: new Uint8Array(most),
    depthShares: new Float64Array(most),
    anglesDeg: new Float64Array(most),
  }
  const sample = createSampler(model.volume)
  const { cells, shape, step } = model.exterior
  const facial = transformDirection(model.volume.worldToIndex, frame.x)
  const side = transformDirection(model.volume.worldToIndex, frame.y)
  let count = 0
  for (let level = 0; level < depths; level++) {
    const depthShare = (level + 0.5) / depths
    const centre = toIndex(model.volume.worldToIndex, axisPoint(frame, depthShare * profile.lengthMm))
    const [inner, outer] = bounds(radiusAtMm(profile, depthShare * profile.lengthMm))
    const area = outer * outer - inner * inner
    const within = ((level + 0.5) * GOLDEN_RATIO) % 1
    for (let ring = 0; ring < rings; ring++) {
      const radius = Math.sqrt(inner * inner + (area * (ring + within)) / rings)
      const twist = (level * rings + ring) * GOLDEN_DEG
      for (let n = 0; n < angles; n++) {
        const angleDeg = (twist + (360 * n) / angles) % 360
        const u = radius * Math.cos((angleDeg * Math.PI) / 180)
        const v = radius * Math.sin((angleDeg * Math.PI) / 180)
        const i = centre[0] + u * facial[0] + v * side[0]
        const j = centre[1] + u * facial[1] + v * side[1]
        const k = centre[2] + u * facial[2] + v * side[2]
        const grey = sample(i, j, k)
        if (Number.isNaN(grey)) continue
        const x = Math.min(shape[0] - 1, Math.round(i / step[0]))
        const y = Math.min(shape[1] - 1, Math.round(j / step[1]))
        const z = Math.min(shape[2] - 1, Math.round(k / step[2]))
        const what = cells[x + shape[0] * (y + shape[1] * z)]
        // Beside missing data nothing tells bone from what is not.
        if (what === UNSCANNED) continue
        samples.greys[count] = grey
        samples.weights[count] = area
        samples.inBone[count] = what === INSIDE ? 1 : 0
        samples.depthShares[count] = depthShare
        samples.anglesDeg[count] = angleDeg
        count++
      }
    }
  }
  return { count, noDataShare: 1 - count / most, ...samples }
}

/** Mean, spread and percentiles of the samples that are kept; null for none. */
export function densityStatistics(
  samples: DensitySamples,
  keep: (n: number) => boolean = () => true,
): DensityStatistics | null {
  const greys = new Float64Array(samples.count)
  let count = 0
  let weight = 0
  let sum = 0
  let squares = 0
  let boneWeight = 0
  let boneSum = 0
  const origin = samples.greys[0]
  for (let n = 0; n < samples.count; n++) {
    if (!keep(n)) continue
    const w = samples.weights[n]
    const grey = samples.greys[n] - origin
    greys[count++] = samples.greys[n]
    weight += w
    sum += w * grey
    squares += w * grey * grey
    if (samples.inBone[n] === 1) {
      boneWeight += w
      boneSum += w * grey
    }
  }
  if (count === 0) return null
  const sorted = greys.subarray(0, count).sort()
  const at = (share: number) => sorted[Math.min(count - 1, Math.floor(share * count))]
  return {
    mean: origin + sum / weight,
    sd: Math.sqrt(Math.max(0, squares / weight - (sum / weight) ** 2)),
    p5: at(0.05),
    median: at(0.5),
    p95: at(0.95),
    boneMean: boneWeight > 0 ? origin + boneSum / boneWeight : null,
    boneShare: boneWeight / weight,
    samples: count,
  }
}
