import { normalize, toWorld, type Vec3 } from '../space/index.js'
import { createSampler, type Volume } from '../volume/index.js'
import { discProfile } from './profile.js'
import { median } from './statistics.js'

/** Noise of a disc profile: what two of its samples have in common, by their distance. */
export interface ProfileNoise {
  readonly stepMm: number
  /** Covariance at distances of 0, 1, 2 ... steps, grey squared; nothing in common beyond the last. */
  readonly covariance: readonly number[]
}

const STEP_MM = 0.1
const HALF_LENGTH_MM = 1
/** From here on two samples of a profile have nothing in common any more. */
const FAR_MM = 0.9
const LEAST_PLACES = 30
const MOST_PLACES = 400
const GOLDEN_RATIO = 0.6180339887498949

/**
 * Measured on profiles laid through even tissue in all directions. Half the mean squared difference of two samples grows
 * with their distance to the full variance; what is missing to that is what they have in common. Slow shading falls out.
 * Null with too few places.
 * @param places index space; even tissue for a millimetre all round.
 */
export function profileNoise(volume: Volume, places: readonly Vec3[], radiusMm: number): ProfileNoise | null {
  const sample = createSampler(volume)
  const stride = Math.max(1, places.length / MOST_PLACES)
  const found: Float64Array[] = []
  for (let n = 0; n < places.length; n += stride) {
    const point = toWorld(volume.indexToWorld, places[Math.floor(n)] as Vec3)
    const { greys } = discProfile(volume, sample, point, spreadDirection(found.length), {
      fromMm: -HALF_LENGTH_MM,
      toMm: HALF_LENGTH_MM,
      stepMm: STEP_MM,
      radiusMm,
    })
    if (!greys.some(Number.isNaN)) found.push(halfSquaredDifferences(greys))
  }
  if (found.length < LEAST_PLACES) return null
  const far = Math.round(FAR_MM / STEP_MM)
  const total = (v: Float64Array) => v.subarray(far).reduce((a, b) => a + b, 0) / (v.length - far)
  // A profile that meets an edge of tissue differs far more than noise does.
  const most = 3 * median(found.map(total))
  const even = found.filter((v) => total(v) <= most)
  const mean = found[0].map((_, lag) => even.reduce((sum, v) => sum + v[lag], 0) / even.length)
  const variance = total(mean)
  return {
    stepMm: STEP_MM,
    covariance: Array.from({ length: far }, (_, lag) => (lag === 0 ? variance : variance - mean[lag])),
  }
}

/** Half the mean squared difference by distance, up to three quarters of the profile. */
function halfSquaredDifferences(greys: Float64Array): Float64Array {
  const lags = Math.round((0.75 * 2 * HALF_LENGTH_MM) / STEP_MM)
  return Float64Array.from({ length: lags }, (_, lag) => {
    let sum = 0
    for (let n = 0; n + lag < greys.length; n++) sum += (greys[n + lag] - greys[n]) ** 2
    return sum / (2 * (greys.length - lag))
  })
}

/** Directions spread evenly over the sphere, the same every time. */
function spreadDirection(n: number): Vec3 {
  const z = 2 * ((n * GOLDEN_RATIO) % 1) - 1
  const angle = 2 * Math.PI * ((n * Math.SQRT2) % 1)
  const r = Math.sqrt(1 - z * z)
  return normalize([r * Math.cos(angle), r * Math.sin(angle), z])
}

/** White noise of the voxels through sampler and disc, for scans without even tissue to measure it in. */
export function assumedProfileNoise(noiseSd: number): ProfileNoise {
  const variance = (noiseSd / 2.5) ** 2
  const covariance = Array.from(
    { length: 6 },
    (_, lag) => variance * Math.exp(-0.5 * ((lag * STEP_MM) / 0.15) ** 2),
  )
  return { stepMm: STEP_MM, covariance }
}
