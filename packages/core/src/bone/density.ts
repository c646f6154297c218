import {
  axisPoint,
  type FixtureFrame,
  type FixtureProfile,
  radialDirection,
  radiusAtMm,
} from '../fixture/index.js'
import { along, toIndex } from '../space/index.js'
import { createSampler } from '../volume/index.js'
import { OUTSIDE } from './exterior.js'
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

/** One sample: grey, weight, whether in bone, and where. */
interface Sample {
  readonly grey: number
  readonly weight: number
  readonly bone: boolean
  /** 0 to 1 from platform to apex. */
  readonly depthShare: number
  readonly angleDeg: number
}

export interface DensitySamples {
  readonly core: readonly Sample[]
  readonly shell: readonly Sample[]
}

const CORE = { rings: 6, angles: 24, depths: 40 }
const SHELL = { rings: 3, angles: 24, depths: 40, widthMm: 0.5 }
/** Turns each ring and level by the golden angle, so that samples never line up with the voxels. */
const GOLDEN_DEG = 137.50776405003785

/**
 * Stratified trilinear samples inside the fixture body (equal-area rings) and in the 0.5 mm outside its surface.
 * Samples outside the scan or in no data are left out.
 */
export function densitySamples(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
): DensitySamples {
  return {
    core: ringSamples(
      model,
      frame,
      profile,
      CORE,
      () => 0,
      (r) => r,
    ),
    shell: ringSamples(
      model,
      frame,
      profile,
      SHELL,
      (r) => r,
      (r) => r + SHELL.widthMm,
    ),
  }
}

function ringSamples(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  count: { readonly rings: number; readonly angles: number; readonly depths: number },
  innerMm: (radiusMm: number) => number,
  outerMm: (radiusMm: number) => number,
): Sample[] {
  const sample = createSampler(model.volume)
  const { cells, shape, step } = model.exterior
  const samples: Sample[] = []
  for (let level = 0; level < count.depths; level++) {
    const depthShare = (level + 0.5) / count.depths
    const centre = axisPoint(frame, depthShare * profile.lengthMm)
    const radius = radiusAtMm(profile, depthShare * profile.lengthMm)
    const inner2 = innerMm(radius) ** 2
    const outer2 = outerMm(radius) ** 2
    for (let ring = 0; ring < count.rings; ring++) {
      const r = Math.sqrt(inner2 + ((outer2 - inner2) * (ring + 0.5)) / count.rings)
      const twist = (level * count.rings + ring) * GOLDEN_DEG
      for (let n = 0; n < count.angles; n++) {
        const angleDeg = (twist + (360 * n) / count.angles) % 360
        const point = along(centre, radialDirection(frame, angleDeg), r)
        const [i, j, k] = toIndex(model.volume.worldToIndex, point)
        const grey = sample(i, j, k)
        if (Number.isNaN(grey)) continue
        const cell =
          Math.min(shape[0] - 1, Math.round(i / step[0])) +
          shape[0] *
            (Math.min(shape[1] - 1, Math.round(j / step[1])) +
              shape[1] * Math.min(shape[2] - 1, Math.round(k / step[2])))
        samples.push({ grey, weight: outer2 - inner2, bone: cells[cell] !== OUTSIDE, depthShare, angleDeg })
      }
    }
  }
  return samples
}

/** Mean, spread and percentiles of the samples; null for none. */
export function densityStatistics(samples: readonly Sample[]): DensityStatistics | null {
  if (samples.length === 0) return null
  const order = Float64Array.from(samples, (s) => s.grey)
  let weight = 0
  let sum = 0
  let boneWeight = 0
  let boneSum = 0
  for (const s of samples) {
    weight += s.weight
    sum += s.weight * s.grey
    if (s.bone) {
      boneWeight += s.weight
      boneSum += s.weight * s.grey
    }
  }
  const mean = sum / weight
  const variance = samples.reduce((total, s) => total + s.weight * (s.grey - mean) ** 2, 0) / weight
  order.sort()
  const at = (share: number) => order[Math.min(order.length - 1, Math.floor(share * order.length))]
  return {
    mean,
    sd: Math.sqrt(variance),
    p5: at(0.05),
    median: at(0.5),
    p95: at(0.95),
    boneMean: boneWeight > 0 ? boneSum / boneWeight : null,
    boneShare: boneWeight / weight,
    samples: samples.length,
  }
}
