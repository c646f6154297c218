import type { Vec3 } from '../space/index.js'
import type { SoftSite } from './calibrate.js'

/** The soft level just outside bone, place by place: cone-beam scans are not even. Index space of the volume. */
export type SoftLevelAt = (i: number, j: number, k: number) => number

const BLOCK_MM = 3
/** So many places of the scan-wide level are mixed in everywhere, so that a few odd ones cannot pull it away. */
const PRIOR_SITES = 1

/**
 * The levels found just outside bone, averaged in blocks of 3 mm, spread to the neighbouring blocks and blended
 * between them; the scan-wide level where there is none.
 */
export function softLevelMap(
  sites: readonly SoftSite[],
  shape: Vec3,
  spacingMm: Vec3,
  softGrey: number,
  greatestGap: number,
): SoftLevelAt {
  const step = spacingMm.map((h) => BLOCK_MM / h) as unknown as Vec3
  const blocks = shape.map((n, a) => Math.ceil(n / step[a])) as unknown as Vec3
  let sums = new Float64Array(blocks[0] * blocks[1] * blocks[2])
  let counts = new Float64Array(sums.length)
  for (const { index, outsideGrey } of sites) {
    const gap = outsideGrey - softGrey
    if (!(Math.abs(gap) < greatestGap)) continue
    const [i, j, k] = index.map((v, a) => Math.floor(v / step[a])) as unknown as Vec3
    const b = i + blocks[0] * (j + blocks[1] * k)
    sums[b] = sums[b] + gap
    counts[b] = counts[b] + 1
  }
  for (const axis of [0, 1, 2] as const) {
    sums = spread(sums, blocks, axis)
    counts = spread(counts, blocks, axis)
  }
  const levels = sums.map((s, b) => softGrey + s / (counts[b] + PRIOR_SITES))
  return (i, j, k) => blend(levels, blocks, [i / step[0] - 0.5, j / step[1] - 0.5, k / step[2] - 0.5])
}

/** Gaussian of one block, as sums (not averages). */
function spread(values: Float64Array, shape: Vec3, axis: 0 | 1 | 2): Float64Array<ArrayBuffer> {
  const out = new Float64Array(values.length)
  const stride = axis === 0 ? 1 : axis === 1 ? shape[0] : shape[0] * shape[1]
  for (let n = 0; n < values.length; n++) {
    const at = Math.floor(n / stride) % shape[axis]
    for (let d = -2; d <= 2; d++)
      if (at + d >= 0 && at + d < shape[axis])
        out[n] = out[n] + values[n + d * stride] * Math.exp(-0.5 * d * d)
  }
  return out
}

/** Trilinear between block centres, held constant beyond the outermost ones. */
function blend(levels: Float64Array, shape: Vec3, at: Vec3): number {
  const low = at.map((v, a) => Math.max(0, Math.min(shape[a] - 1, Math.floor(v)))) as unknown as Vec3
  let sum = 0
  for (let corner = 0; corner < 8; corner++) {
    let weight = 1
    let index = 0
    let stride = 1
    for (const a of [0, 1, 2] as const) {
      const size = shape[a]
      const share = Math.max(0, Math.min(1, at[a] - low[a]))
      const up = (corner >> a) & 1
      weight *= up === 1 ? share : 1 - share
      index += stride * Math.min(size - 1, low[a] + up)
      stride *= size
    }
    if (weight > 0) sum += weight * levels[index]
  }
  return sum
}
