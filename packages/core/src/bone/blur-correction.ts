import { along, dot, type Vec3, type WorldPoint } from '../space/index.js'
import type { SurfaceHits, Traces } from './hits.js'
import { LOW_SHARE } from './levels.js'
import type { BoneModel } from './model.js'
import type { RayFan } from './rays.js'
import { thinPlateShift } from './thin-plate.js'

/** A ray that grazes the surface more than this is corrected as if it did not. */
const LEAST_COSINE = 0.35

/** Phi^-1(1 - LOW_SHARE): how many sigmas outside an edge the blurred step has fallen to the low threshold. */
export const LOW_DEVIATION = 1.17498679206609
if (LOW_SHARE !== 0.12) throw new Error('LOW_DEVIATION belongs to a low share of 0.12')

/** Of the blurred grey between voxels: point spread, blur and sampler together. */
export function blurVarianceMm2({ volume, calibration, smoothingMm }: BoneModel): number {
  const h2 = volume.spacingMm.reduce((sum, h) => sum + h * h, 0) / 3
  return calibration.psfSigmaMm ** 2 + smoothingMm ** 2 + h2 / 6
}

/**
 * Moves hits from the low crossing of the blurred grey to the edge itself, along their rays: see marchSurface.
 * The hits are changed in place.
 */
export function correctForBlur(
  model: BoneModel,
  fan: RayFan,
  hits: SurfaceHits,
  { normals, peaks }: Traces,
  leastCosine = LEAST_COSINE,
): void {
  const variance = blurVarianceMm2(model)
  const sigma = Math.sqrt(variance)
  const raw = Float64Array.from(hits.points)
  for (let row = 0; row < hits.rows; row++)
    for (let c = 0; c < hits.columns; c++) {
      const at = row * hits.columns + c
      if (hits.states[at] !== 'bone') continue
      const direction = fan.directions[at] as Vec3
      const normal: Vec3 = [normals[3 * at], normals[3 * at + 1], normals[3 * at + 2]]
      const cosine = Math.max(leastCosine, dot(direction, normal))
      const bend = curvaturePerMm(hits, raw, normals, row, c)
      const shift = (LOW_DEVIATION - thinPlateShift(peaks[at])) * sigma - (bend * variance) / 2
      const radius = hits.radiusMm[at] - shift / cosine
      hits.radiusMm[at] = radius
      hits.points.set(along(fan.starts[row] as WorldPoint, direction, radius), 3 * at)
    }
}

/** Sum of the principal curvatures from the turn of the normals between neighbouring hits, 1/mm, clipped to +-1. */
function curvaturePerMm(
  hits: SurfaceHits,
  points: Float64Array,
  normals: Float64Array,
  row: number,
  c: number,
): number {
  const up = beyond(hits, row, c, -1) ?? neighbour(hits, row - 1, c) ?? row * hits.columns + c
  const down = beyond(hits, row, c, 1) ?? neighbour(hits, row + 1, c) ?? row * hits.columns + c
  const left = neighbour(hits, row, c - 2)
  const right = neighbour(hits, row, c + 2)
  if (left === null || right === null || up === down) return 0
  const u = difference(points, down, up)
  const v = difference(points, right, left)
  const nu = difference(normals, down, up)
  const nv = difference(normals, right, left)
  const e = dot(u, u)
  const f = dot(u, v)
  const g = dot(v, v)
  const determinant = e * g - f * f
  if (determinant < 1e-6) return 0
  const trace = (g * dot(nu, u) - f * (dot(nu, v) + dot(nv, u)) + e * dot(nv, v)) / determinant
  return Math.max(-1, Math.min(1, trace))
}

/** The hit two rows on, unless there is no data between. */
function beyond(hits: SurfaceHits, row: number, c: number, side: 1 | -1): number | null {
  const next = row + side
  if (next < 0 || next >= hits.rows || hits.states[next * hits.columns + c] === 'no-data') return null
  return neighbour(hits, next + side, c)
}

function neighbour(hits: SurfaceHits, row: number, c: number): number | null {
  if (row < 0 || row >= hits.rows) return null
  const at = row * hits.columns + ((c + hits.columns) % hits.columns)
  return hits.states[at] === 'bone' ? at : null
}

const difference = (xyz: Float64Array, a: number, b: number): Vec3 => [
  xyz[3 * a] - xyz[3 * b],
  xyz[3 * a + 1] - xyz[3 * b + 1],
  xyz[3 * a + 2] - xyz[3 * b + 2],
]
