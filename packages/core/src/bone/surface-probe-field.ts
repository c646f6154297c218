import type { Vec3 } from '../space/index.js'
import type { BoneModel } from './model.js'
import { NODE_BONE, NODE_UNSCANNED, type SiteSurface } from './site-surface-result.js'

/** What of a site's surface a probe reads. */
export type ProbedSurface = Omit<SiteSurface, 'model'> & { readonly model: Pick<BoneModel, 'masks'> }

/** Reads a site's field at places in units of its grid, without making objects: for loops of thousands of poses. */
export class ProbeField {
  readonly surface: ProbedSurface
  readonly stepMm: number
  readonly #values: Float32Array
  readonly #nx: number
  readonly #slice: number
  readonly #lastI: number
  readonly #lastJ: number
  readonly #lastK: number
  /** Whether some of the grid was not scanned. */
  readonly hasUnscanned: boolean

  /** @throws RangeError when a side of the surface's grid has fewer than two nodes. */
  constructor(surface: ProbedSurface) {
    const [nx, ny, nz] = surface.shape
    if (!(nx > 1 && ny > 1 && nz > 1))
      throw new RangeError(`a surface probe needs two nodes a side; got ${surface.shape.join(' x ')}`)
    this.surface = surface
    this.stepMm = surface.stepMm
    this.#values = surface.distanceMm
    this.#nx = nx
    this.#slice = nx * ny
    this.#lastI = nx - 1
    this.#lastJ = ny - 1
    this.#lastK = nz - 1
    this.hasUnscanned = surface.kinds.includes(NODE_UNSCANNED)
  }

  /** An LPS point as a place in the grid. */
  place([x, y, z]: Vec3): [number, number, number] {
    const { originMm: o, stepMm } = this.surface
    return [(x - o[0]) / stepMm, (y - o[1]) / stepMm, (z - o[2]) / stepMm]
  }

  /** Signed distance at a place, mm, trilinear; NaN outside the grid and on its far faces. */
  at(i: number, j: number, k: number): number {
    if (!(i >= 0 && j >= 0 && k >= 0 && i < this.#lastI && j < this.#lastJ && k < this.#lastK))
      return Number.NaN
    const i0 = i | 0
    const j0 = j | 0
    const k0 = k | 0
    const fx = i - i0
    const fy = j - j0
    const nx = this.#nx
    const values = this.#values
    const a = i0 + nx * j0 + this.#slice * k0
    const b = a + nx
    const c = a + this.#slice
    const d = c + nx
    const v000 = values[a]
    const v010 = values[b]
    const v001 = values[c]
    const v011 = values[d]
    const v00 = v000 + (values[a + 1] - v000) * fx
    const v10 = v010 + (values[b + 1] - v010) * fx
    const v01 = v001 + (values[c + 1] - v001) * fx
    const v11 = v011 + (values[d + 1] - v011) * fx
    const v0 = v00 + (v10 - v00) * fy
    const v1 = v01 + (v11 - v01) * fy
    return v0 + (v1 - v0) * (k - k0)
  }

  /** Whether bone ends at a place because nothing was scanned beyond: of the nodes round it that are not bone the nearest. */
  endsInNoData(i: number, j: number, k: number): boolean {
    if (!this.hasUnscanned) return false
    const { kinds } = this.surface
    if (!(i >= 0 && j >= 0 && k >= 0 && i <= this.#lastI && j <= this.#lastJ && k <= this.#lastK)) return true
    const i0 = Math.min(this.#lastI - 1, Math.floor(i))
    const j0 = Math.min(this.#lastJ - 1, Math.floor(j))
    const k0 = Math.min(this.#lastK - 1, Math.floor(k))
    let nearest = Number.POSITIVE_INFINITY
    let kind = NODE_BONE
    for (let corner = 0; corner < 8; corner++) {
      const a = i0 + (corner & 1)
      const b = j0 + ((corner >> 1) & 1)
      const c = k0 + (corner >> 2)
      const at = kinds[a + this.#nx * b + this.#slice * c]
      const squared = (a - i) ** 2 + (b - j) ** 2 + (c - k) ** 2
      if (at === NODE_BONE || squared >= nearest) continue
      nearest = squared
      kind = at
    }
    return kind === NODE_UNSCANNED
  }
}
