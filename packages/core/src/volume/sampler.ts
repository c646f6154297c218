import { toIndex, type WorldPoint } from '../space/index.js'
import type { Volume } from './volume.js'

/** Trilinear value at a point in index space; NaN outside the voxel centres or where a neighbour holds no data. */
export type IndexSampler = (i: number, j: number, k: number) => number

/**
 * A trilinear sampler over the volume's own voxels, in float64.
 * The domain is the box of voxel centres; a point on its far faces counts as inside.
 * A neighbour of zero weight is not read, so a point on a voxel centre depends on that voxel alone.
 */
export function createSampler(volume: Volume): IndexSampler {
  const flat = volume.shape.some((n) => n < 2)
  return volume.noData === undefined && !flat ? plainSampler(volume) : carefulSampler(volume)
}

/** Every voxel counts and every axis has two: nothing to look out for but the domain. */
function plainSampler({ data, offset, shape, stride }: Volume): IndexSampler {
  const [sx, sy, sz] = stride
  const lastX = shape[0] - 1
  const lastY = shape[1] - 1
  const lastZ = shape[2] - 1
  return (i, j, k) => {
    if (!(i >= 0 && i <= lastX && j >= 0 && j <= lastY && k >= 0 && k <= lastZ)) return Number.NaN
    let i0 = i | 0
    let j0 = j | 0
    let k0 = k | 0
    if (i0 === lastX) i0--
    if (j0 === lastY) j0--
    if (k0 === lastZ) k0--
    const fx = i - i0
    const fy = j - j0
    const a = offset + i0 * sx + j0 * sy + k0 * sz
    const b = a + sy
    const c = a + sz
    const d = b + sz
    const v00 = data[a] + (data[a + sx] - data[a]) * fx
    const v10 = data[b] + (data[b + sx] - data[b]) * fx
    const v01 = data[c] + (data[c + sx] - data[c]) * fx
    const v11 = data[d] + (data[d + sx] - data[d]) * fx
    const v0 = v00 + (v10 - v00) * fy
    const v1 = v01 + (v11 - v01) * fy
    return v0 + (v1 - v0) * (k - k0)
  }
}

/** Does not read a neighbour of no weight, and gives no number where one of weight holds no data. */
function carefulSampler(volume: Volume): IndexSampler {
  const { data, offset, noData } = volume
  const [nx, ny, nz] = volume.shape
  const [sx, sy, sz] = volume.stride
  const lastX = nx - 1
  const lastY = ny - 1
  const lastZ = nz - 1
  return (i, j, k) => {
    if (!(i >= 0 && i <= lastX && j >= 0 && j <= lastY && k >= 0 && k <= lastZ)) return Number.NaN
    const i0 = i | 0
    const j0 = j | 0
    const k0 = k | 0
    const fx = i - i0
    const fy = j - j0
    const fz = k - k0
    const dx = fx > 0 ? sx : 0
    const dy = fy > 0 ? sy : 0
    const dz = fz > 0 ? sz : 0
    const at = offset + i0 * sx + j0 * sy + k0 * sz
    const v000 = data[at]
    const v100 = data[at + dx]
    const v010 = data[at + dy]
    const v110 = data[at + dx + dy]
    const v001 = data[at + dz]
    const v101 = data[at + dx + dz]
    const v011 = data[at + dy + dz]
    const v111 = data[at + dx + dy + dz]
    if (
      noData !== undefined &&
      (v000 === noData ||
        v100 === noData ||
        v010 === noData ||
        v110 === noData ||
        v001 === noData ||
        v101 === noData ||
        v011 === noData ||
        v111 === noData)
    )
      return Number.NaN
    const v00 = v000 + (v100 - v000) * fx
    const v10 = v010 + (v110 - v010) * fx
    const v01 = v001 + (v101 - v001) * fx
    const v11 = v011 + (v111 - v011) * fx
    const v0 = v00 + (v10 - v00) * fy
    const v1 = v01 + (v11 - v01) * fy
    return v0 + (v1 - v0) * fz
  }
}
/** Rounding of a point computed in millimetres, in voxels: a point on the outermost centres must not fall out by it. */
const ROUNDING = 1e-6

/** Trilinear grey value at a point in LPS mm; null outside the scan or in no data. */
export function sampleAt(volume: Volume, point: WorldPoint): number | null {
  const [i, j, k] = toIndex(volume.worldToIndex, point).map((c, axis) => {
    const last = volume.shape[axis] - 1
    if (c < 0 && c > -ROUNDING) return 0
    return c > last && c < last + ROUNDING ? last : c
  })
  const value = createSampler(volume)(i, j, k)
  return Number.isNaN(value) ? null : value
}
