import type { IndexBox, IndexSampler } from '../volume/index.js'
import { LOW_SHARE } from './levels.js'
import type { BoneModel } from './model.js'
import { nodeIndices, type SiteGrid } from './site-surface-grid.js'

/** The soft level changes so little from place to place that it is asked for at every so many nodes only. */
const SOFT_NODES = 4
/** Half the way over which the grey's slope is taken, voxels, as on the rays of the fast march. */
const SLOPE_VOXELS = 0.7

/** The blurred grey round a site at places in units of its grid, without making objects. */
export class SiteGrey {
  /** Outward direction of the last slope, LPS; see slope. */
  x = 0
  y = 0
  z = 0
  readonly #sample: IndexSampler
  readonly #toIndex: Float64Array
  readonly #worldToIndex: Float64Array
  readonly #soft: Float64Array
  readonly #softShape: readonly [number, number, number]
  readonly #cortexGrey: number

  /** @param box of voxels round the region; see siteBox. */
  constructor(model: BoneModel, grid: SiteGrid, box: IndexBox) {
    const { origin, along } = nodeIndices(grid, model.volume)
    this.#sample = model.smoothed(box)
    this.#toIndex = Float64Array.from([...along[0], ...along[1], ...along[2], ...origin])
    this.#worldToIndex = Float64Array.from(model.volume.worldToIndex)
    this.#cortexGrey = model.calibration.cortexGrey
    const [nx, ny, nz] = grid.shape.map((n) => Math.ceil((n - 1) / SOFT_NODES) + 1)
    this.#softShape = [nx, ny, nz]
    this.#soft = new Float64Array(nx * ny * nz)
    const m = this.#toIndex
    for (let k = 0, n = 0; k < nz; k++)
      for (let j = 0; j < ny; j++)
        for (let i = 0; i < nx; i++, n++) {
          const [a, b, c] = [SOFT_NODES * i, SOFT_NODES * j, SOFT_NODES * k]
          this.#soft[n] = model.softAt(
            a * m[0] + b * m[3] + c * m[6] + m[9],
            a * m[1] + b * m[4] + c * m[7] + m[10],
            a * m[2] + b * m[5] + c * m[8] + m[11],
          )
        }
  }

  /** NaN where data is missing. */
  at(i: number, j: number, k: number): number {
    const m = this.#toIndex
    return this.#sample(
      i * m[0] + j * m[3] + k * m[6] + m[9],
      i * m[1] + j * m[4] + k * m[7] + m[10],
      i * m[2] + j * m[5] + k * m[8] + m[11],
    )
  }

  soft(i: number, j: number, k: number): number {
    const [nx, ny, nz] = this.#softShape
    const x = Math.max(0, Math.min(nx - 1, i / SOFT_NODES))
    const y = Math.max(0, Math.min(ny - 1, j / SOFT_NODES))
    const z = Math.max(0, Math.min(nz - 1, k / SOFT_NODES))
    const i0 = Math.min(nx - 2, x | 0)
    const j0 = Math.min(ny - 2, y | 0)
    const k0 = Math.min(nz - 2, z | 0)
    const fx = x - i0
    const fy = y - j0
    const soft = this.#soft
    const a = i0 + nx * (j0 + ny * k0)
    const b = a + nx
    const c = a + nx * ny
    const d = c + nx
    const v00 = soft[a] + (soft[a + 1] - soft[a]) * fx
    const v10 = soft[b] + (soft[b + 1] - soft[b]) * fx
    const v01 = soft[c] + (soft[c + 1] - soft[c]) * fx
    const v11 = soft[d] + (soft[d + 1] - soft[d]) * fx
    const v0 = v00 + (v10 - v00) * fy
    return v0 + (v01 + (v11 - v01) * fy - v0) * (z - k0)
  }

  /** How far the grey lies above the low threshold: not negative in bone. NaN where data is missing. */
  above(i: number, j: number, k: number): number {
    const soft = this.soft(i, j, k)
    return this.at(i, j, k) - soft - LOW_SHARE * (this.#cortexGrey - soft)
  }

  /** The grey as a share of the step from the soft level to that of cortex. */
  share(i: number, j: number, k: number): number {
    return this.shareOf(this.at(i, j, k), i, j, k)
  }

  /** Some other grey as a share of that step at a place. */
  shareOf(grey: number, i: number, j: number, k: number): number {
    const soft = this.soft(i, j, k)
    return (grey - soft) / (this.#cortexGrey - soft)
  }

  /**
   * Sets x, y, z to minus the direction of the grey's gradient. Beside missing data the slope is that of the other side.
   * @returns false where the grey is flat or data is missing on both sides.
   */
  slope(i: number, j: number, k: number): boolean {
    const m = this.#toIndex
    const a = i * m[0] + j * m[3] + k * m[6] + m[9]
    const b = i * m[1] + j * m[4] + k * m[7] + m[10]
    const c = i * m[2] + j * m[5] + k * m[8] + m[11]
    const sample = this.#sample
    const d = SLOPE_VOXELS
    const gi = this.#rise(sample(a - d, b, c), sample(a + d, b, c), a, b, c)
    const gj = this.#rise(sample(a, b - d, c), sample(a, b + d, c), a, b, c)
    const gk = this.#rise(sample(a, b, c - d), sample(a, b, c + d), a, b, c)
    const w = this.#worldToIndex
    const x = -(gi * w[0] + gj * w[1] + gk * w[2])
    const y = -(gi * w[4] + gj * w[5] + gk * w[6])
    const z = -(gi * w[8] + gj * w[9] + gk * w[10])
    const size = Math.sqrt(x * x + y * y + z * z)
    if (!(size > 1e-9)) return false
    this.x = x / size
    this.y = y / size
    this.z = z / size
    return true
  }

  #rise(before: number, after: number, a: number, b: number, c: number): number {
    if (Number.isNaN(before)) return 2 * (after - this.#sample(a, b, c))
    return Number.isNaN(after) ? 2 * (this.#sample(a, b, c) - before) : after - before
  }
}
