import type { Mat4, Mesh, Vec3 } from '../space/index.js'
import { corners, cross, length, subtract } from '../space/index.js'

/** Points spread over a surface by its area, with the surface's outward unit normals; xyz after xyz. */
export interface Cloud {
  readonly count: number
  readonly points: Float64Array
  readonly normals: Float64Array
}

/** The two steps of a sequence that fills a square evenly: powers of the inverse of the plastic number (Roberts 2018). */
const STEP_U = 0.7548776662466927
const STEP_V = 0.5698402909980532

/**
 * So many points spread over those triangles of a mesh that are asked for, in proportion to their area. The same mesh
 * turned and moved gives the same points turned and moved.
 * @throws RangeError when the triangles have no area.
 */
export function surfaceCloud(mesh: Mesh, count: number, wanted: (triangle: number) => boolean): Cloud {
  const triangles = Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t).filter(wanted)
  const areas = triangles.map((t) => length(areaVector(mesh, t)) / 2)
  const whole = areas.reduce((sum, a) => sum + a, 0)
  if (!(whole > 0 && Number.isFinite(whole)))
    throw new RangeError('the crown mesh has no surface: export it again as STL')
  const points = new Float64Array(3 * count)
  const normals = new Float64Array(3 * count)
  let at = 0
  let passed = areas[0]
  for (let i = 0; i < count; i++) {
    const target = ((i + 0.5) / count) * whole
    while (passed < target && at + 1 < areas.length) passed += areas[++at]
    const [a, b, c] = corners(mesh, triangles[at])
    const r = Math.sqrt((STEP_U * (i + 1)) % 1)
    const s = (STEP_V * (i + 1)) % 1
    const across = areaVector(mesh, triangles[at])
    const size = length(across)
    for (let k = 0; k < 3; k++) {
      points[3 * i + k] = (1 - r) * a[k] + r * (1 - s) * b[k] + r * s * c[k]
      normals[3 * i + k] = across[k] / size
    }
  }
  return { count, points, normals }
}

/** A vector along the outward normal, as long as twice the area. */
const areaVector = (mesh: Mesh, triangle: number): Vec3 => {
  const [a, b, c] = corners(mesh, triangle)
  return cross(subtract(b, a), subtract(c, a))
}

/** Middle of a cloud and the root mean square distance from it. */
export function middleOf({ count, points }: Cloud): { centre: Vec3; radius: number } {
  const sum = [0, 0, 0]
  for (let i = 0; i < points.length; i++) sum[i % 3] += points[i]
  const centre: Vec3 = [sum[0] / count, sum[1] / count, sum[2] / count]
  let squares = 0
  for (let i = 0; i < points.length; i++) squares += (points[i] - centre[i % 3]) ** 2
  return { centre, radius: Math.sqrt(squares / count) }
}

/** A cloud turned and moved by a rigid matrix, and then scaled by `k`. */
export function movedCloud({ count, points, normals }: Cloud, m: Mat4, k: number): Cloud {
  const moved = new Float64Array(3 * count)
  const turned = new Float64Array(3 * count)
  for (let i = 0; i < 3 * count; i += 3)
    for (let row = 0; row < 3; row++) {
      moved[i + row] =
        k * (m[row] * points[i] + m[row + 4] * points[i + 1] + m[row + 8] * points[i + 2] + m[row + 12])
      turned[i + row] = m[row] * normals[i] + m[row + 4] * normals[i + 1] + m[row + 8] * normals[i + 2]
    }
  return { count, points: moved, normals: turned }
}

/**
 * For each point of `from` the number of the nearest one of `to`, where a difference of normals counts like a distance
 * of `normalMm` times its length. -1 where there is none. `skip`: points of `to` to be left out.
 */
export function nearestIn(from: Cloud, to: Cloud, normalMm: number, skip: Uint8Array | null): Int32Array {
  const { points: p, normals: n } = from
  const { points: q, normals: m } = to
  const weight = normalMm * normalMm
  const found = new Int32Array(from.count).fill(-1)
  for (let i = 0; i < from.count; i++) {
    const px = p[3 * i]
    const py = p[3 * i + 1]
    const pz = p[3 * i + 2]
    const nx = n[3 * i]
    const ny = n[3 * i + 1]
    const nz = n[3 * i + 2]
    let least = Number.POSITIVE_INFINITY
    for (let j = 0; j < to.count; j++) {
      if (skip !== null && skip[j] !== 0) continue
      const k = 3 * j
      const dx = px - q[k]
      const dy = py - q[k + 1]
      const dz = pz - q[k + 2]
      const d = dx * dx + dy * dy + dz * dz + 2 * weight * (1 - nx * m[k] - ny * m[k + 1] - nz * m[k + 2])
      if (d < least) {
        least = d
        found[i] = j
      }
    }
  }
  return found
}
