import { createSampler, type IndexSampler, type Volume } from '../volume/index.js'

/**
 * Cubic convolution between the 4 x 4 x 4 voxels round a point (Keys 1981, IEEE Trans Acoust 29:1153, a = -1/2): exact
 * for quadratic fields, where the trilinear sampler blurs by a sixth of the voxel's square and moves the mean of a
 * shell by up to 0.6 % at 0.4 mm. Where one of the 64 lies outside the scan or holds no data the trilinear value is
 * taken, with its own limits.
 */
export function cubicSampler(volume: Volume): IndexSampler {
  const { data, offset, shape, stride } = volume
  const [sx, sy, sz] = stride
  const linear = createSampler(volume)
  const { noData } = volume
  const gaps = noData !== undefined
  const wy = new Float64Array(4)
  const wz = new Float64Array(4)
  const lastX = shape[0] - 2
  const lastY = shape[1] - 2
  const lastZ = shape[2] - 2
  return (i, j, k) => {
    if (!(i >= 1 && i < lastX && j >= 1 && j < lastY && k >= 1 && k < lastZ)) return linear(i, j, k)
    const i0 = i | 0
    const j0 = j | 0
    const k0 = k | 0
    const t = i - i0
    const w0 = before(t)
    const w1 = at(t)
    const w2 = at(1 - t)
    const w3 = before(1 - t)
    fill(wy, j - j0)
    fill(wz, k - k0)
    const start = offset + (i0 - 1) * sx + (j0 - 1) * sy + (k0 - 1) * sz
    let value = 0
    for (let c = 0; c < 4; c++) {
      let plane = 0
      for (let b = 0; b < 4; b++) {
        const n = start + b * sy + c * sz
        const v0 = data[n]
        const v1 = data[n + sx]
        const v2 = data[n + 2 * sx]
        const v3 = data[n + 3 * sx]
        if (gaps && (v0 === noData || v1 === noData || v2 === noData || v3 === noData)) return linear(i, j, k)
        plane += wy[b] * (w0 * v0 + w1 * v1 + w2 * v2 + w3 * v3)
      }
      value += wz[c] * plane
    }
    return value
  }
}

/** Weight of the voxel just before a point that lies t past it, 0 to 1. */
const at = (t: number): number => (1.5 * t - 2.5) * t * t + 1

/** Weight of the voxel one farther before. */
const before = (t: number): number => ((1 - 0.5 * t) * t - 0.5) * t

function fill(weights: Float64Array, t: number): void {
  weights[0] = before(t)
  weights[1] = at(t)
  weights[2] = at(1 - t)
  weights[3] = before(1 - t)
}
