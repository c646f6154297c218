import type { Vec3 } from '@alveometer/core'

/** Sampled Gaussian of unit sum, cut at four sigma. */
export function gaussianKernel(sigmaVoxels: number): Float64Array {
  const radius = Math.ceil(4 * sigmaVoxels)
  const kernel = new Float64Array(2 * radius + 1)
  let sum = 0
  for (let n = -radius; n <= radius; n++) {
    const weight = Math.exp(-(n * n) / (2 * sigmaVoxels * sigmaVoxels))
    kernel[n + radius] = weight
    sum += weight
  }
  return kernel.map((weight) => weight / sum)
}

/**
 * Gaussian blur of x-fastest voxels, in place, one sigma (in voxels) per axis; 0 leaves an axis alone.
 * Beyond the border: 'repeat' takes the border voxel, 'wrap' the other side (noise stays stationary).
 */
export function gaussianBlur(
  data: Float32Array,
  shape: Vec3,
  sigmaVoxels: Vec3,
  border: 'repeat' | 'wrap',
): void {
  const stride = [1, shape[0], shape[0] * shape[1]]
  for (const axis of [0, 1, 2] as const) {
    const sigma = sigmaVoxels[axis]
    if (sigma > 0) blurAxis(data, shape[axis], stride[axis] as number, gaussianKernel(sigma), border)
  }
}

/** Lines of `count` voxels, `step` apart. `step` neighbouring lines are taken together so that memory is read in order. */
function blurAxis(
  data: Float32Array,
  count: number,
  step: number,
  kernel: Float64Array,
  border: 'repeat' | 'wrap',
): void {
  const radius = (kernel.length - 1) / 2
  const width = Math.min(step, 512)
  const padded = new Float32Array((count + 2 * radius) * width)
  const sum = new Float64Array(width)
  for (let block = 0; block < data.length; block += count * step)
    for (let first = 0; first < step; first += width) {
      const wide = Math.min(width, step - first)
      for (let n = -radius; n < count + radius; n++) {
        const from = border === 'wrap' ? (n + count * radius) % count : Math.min(count - 1, Math.max(0, n))
        const at = block + from * step + first
        const to = (n + radius) * width
        for (let w = 0; w < wide; w++) padded[to + w] = data[at + w] as number
      }
      for (let n = 0; n < count; n++) {
        sum.fill(0)
        for (let m = 0; m < kernel.length; m++) {
          const weight = kernel[m] as number
          const at = (n + m) * width
          for (let w = 0; w < wide; w++) sum[w] = (sum[w] as number) + weight * (padded[at + w] as number)
        }
        const at = block + n * step + first
        for (let w = 0; w < wide; w++) data[at + w] = sum[w] as number
      }
    }
}
