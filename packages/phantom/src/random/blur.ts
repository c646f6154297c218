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

/** Where tap n of a line comes from. */
const source = (n: number, count: number, border: 'repeat' | 'wrap'): number =>
  border === 'wrap' ? ((n % count) + count) % count : Math.min(count - 1, Math.max(0, n))

function blurAxis(
  data: Float32Array,
  count: number,
  step: number,
  kernel: Float64Array,
  border: 'repeat' | 'wrap',
): void {
  if (step === 1) blurRows(data, count, kernel, border)
  else blurPlanes(data, count, step, kernel, border)
}

function blurRows(data: Float32Array, count: number, kernel: Float64Array, border: 'repeat' | 'wrap'): void {
  const radius = (kernel.length - 1) / 2
  const padded = new Float64Array(count + 2 * radius)
  const from = Int32Array.from(padded, (_, n) => source(n - radius, count, border))
  for (let start = 0; start < data.length; start += count) {
    for (let n = 0; n < padded.length; n++) padded[n] = data[start + (from[n] as number)] as number
    for (let n = 0; n < count; n++) {
      // The kernel is symmetric: neighbours at the same distance share one product.
      let sum = (kernel[radius] as number) * (padded[n + radius] as number)
      for (let m = 0; m < radius; m++)
        sum += (kernel[m] as number) * ((padded[n + m] as number) + (padded[n + 2 * radius - m] as number))
      data[start + n] = sum
    }
  }
}

/** Lines across memory, `width` neighbours at a time so that memory is read in order. */
function blurPlanes(
  data: Float32Array,
  count: number,
  step: number,
  kernel: Float64Array,
  border: 'repeat' | 'wrap',
): void {
  const radius = (kernel.length - 1) / 2
  const width = Math.min(step, 256)
  const padded = new Float32Array((count + 2 * radius) * width)
  const sum = new Float32Array(width)
  for (let block = 0; block < data.length; block += count * step)
    for (let first = 0; first < step; first += width) {
      const wide = Math.min(width, step - first)
      for (let n = -radius; n < count + radius; n++) {
        const at = block + source(n, count, border) * step + first
        padded.set(data.subarray(at, at + wide), (n + radius) * width)
      }
      for (let n = 0; n < count; n++) {
        const middle = kernel[radius] as number
        const centre = (n + radius) * width
        for (let w = 0; w < wide; w++) sum[w] = middle * (padded[centre + w] as number)
        for (let m = 0; m < radius; m++) {
          const weight = kernel[m] as number
          const low = (n + m) * width
          const high = (n + 2 * radius - m) * width
          for (let w = 0; w < wide; w++)
            sum[w] =
              (sum[w] as number) + weight * ((padded[low + w] as number) + (padded[high + w] as number))
        }
        data.set(wide === width ? sum : sum.subarray(0, wide), block + n * step + first)
      }
    }
}
