import type { Vec3 } from '@alveometer/core'
import { gaussianBlur, gaussianKernel } from './blur.js'
import { createRandom } from './random.js'

/** Independent normal numbers of standard deviation `sd`, one per voxel. */
export function whiteNoise(shape: Vec3, sd: number, seed: string | number): Float32Array {
  const random = createRandom(seed)
  const noise = new Float32Array(shape[0] * shape[1] * shape[2])
  for (let i = 0; i < noise.length; i++) noise[i] = sd * random.normal()
  return noise
}

/**
 * White noise blurred by a Gaussian of `sigmaVoxels` and scaled back to standard deviation `sd`: neighbouring voxels
 * go together, as in a reconstructed scan (0.6 to 0.8 voxel). Its autocorrelation at distance d voxels is close to
 * exp(-d^2 / (4 sigma^2)). Opposite borders wrap, so the deviation is the same everywhere.
 */
export function correlatedNoise(
  shape: Vec3,
  sd: number,
  sigmaVoxels: number | Vec3,
  seed: string | number,
): Float32Array {
  const sigmas: Vec3 = typeof sigmaVoxels === 'number' ? [sigmaVoxels, sigmaVoxels, sigmaVoxels] : sigmaVoxels
  let gain = 1
  for (const sigma of sigmas)
    if (sigma > 0) gain *= Math.sqrt(gaussianKernel(sigma).reduce((sum, weight) => sum + weight * weight, 0))
  const noise = whiteNoise(shape, sd / gain, seed)
  gaussianBlur(noise, shape, sigmas, 'wrap')
  return noise
}
