import type { SiteGrid } from './site-surface-grid.js'
import { BY_KINDS, type SurfacePoints } from './site-surface-points.js'
import { NODE_BONE, NODE_OUTSIDE } from './site-surface-result.js'

/** Stands for "no end near". */
export const FAR_MM = 100
/** About a point the surface is as flat as this, in units of the grid: about the points' spacing. */
const FLAT = 1
/** The edge itself lies no farther inside of the fall than this, mm: 1.175 S and what a bend adds. */
const SHELL_MM = 1.5
const SLICES = 16

/**
 * Distance of a node to the disc about a point, in units of the grid: positive on the inner side.
 * @param p the point's number.
 */
export function discDistance(
  { xyz, normals }: SurfacePoints,
  p: number,
  i: number,
  j: number,
  k: number,
): number {
  const x = xyz[3 * p] - i
  const y = xyz[3 * p + 1] - j
  const z = xyz[3 * p + 2] - k
  const inside = x * normals[3 * p] + y * normals[3 * p + 1] + z * normals[3 * p + 2]
  const squared = x * x + y * y + z * z
  const aside = Math.sqrt(Math.max(0, squared - inside * inside))
  const beyond = Math.max(0, aside - FLAT)
  const distance = Math.sqrt(inside * inside + beyond * beyond)
  return inside > 0 ? distance : -distance
}

/**
 * Signed distance of every node to the disc about its nearest point, mm. Nodes of bone between the fall of the grey and
 * the edge moved inwards become outside.
 */
export function* signedDistances(
  kinds: Uint8Array,
  nearest: Int32Array,
  points: SurfacePoints,
  { shape: [nx, ny, nz], stepMm }: SiteGrid,
): Generator<void, Float32Array> {
  const distanceMm = new Float32Array(kinds.length)
  for (let k = 0, n = 0; k < nz; k++) {
    if (k % SLICES === SLICES - 1) yield
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        const p = nearest[n]
        if (p < 0) {
          distanceMm[n] = kinds[n] === NODE_BONE ? FAR_MM : -FAR_MM
          continue
        }
        const signedMm = stepMm * discDistance(points, p, i, j, k)
        const moved = signedMm <= 0 && signedMm > -SHELL_MM && points.kinds[p] !== BY_KINDS
        if (kinds[n] === NODE_BONE && moved) kinds[n] = NODE_OUTSIDE
        distanceMm[n] = kinds[n] === NODE_BONE ? Math.abs(signedMm) : -Math.abs(signedMm)
      }
  }
  return distanceMm
}
