import { cross, dot, normalize, type Vec3 } from '../space/index.js'
import type { SurfaceHits } from './hits.js'

/** How the outer surface lies and bends at a hit. */
export interface LocalShape {
  /** Unit outward normal, LPS. */
  readonly normal: Vec3
  /** Sum of the principal curvatures, 1/mm, positive for convex bone; clipped to +-1. */
  readonly curvaturePerMm: number
}

const NORMAL_MM = 0.6
const BEND_MM = 1.2
const GREATEST_BEND = 1

/**
 * Normal and curvature of the surface at a hit from the normals of its neighbours: the mean of those within 0.6 mm, and
 * the turn of those within 1.2 mm by least squares (the trace of the shape operator). Never across rays without data.
 * @param normals unit outward normals of all hits, xyz.
 */
export function localShape(hits: SurfaceHits, normals: Float64Array, ray: number): LocalShape {
  const around = neighbours(hits, ray)
  const normal = meanNormal(hits, normals, ray, around)
  return { normal, curvaturePerMm: curvature(hits, normals, ray, around, normal) }
}

/** Rows and columns on each side that are looked at: at least two, whatever the spacing of the rays. */
const REACH = 2
const MOST_REACH = 6

function neighbours(hits: SurfaceHits, ray: number): number[] {
  const { rows, columns, states } = hits
  const row = Math.floor(ray / columns)
  const column = ray % columns
  const alongAxis = reachIn(hits, ray, columns, rows)
  const round = reachIn(hits, ray, 1, columns)
  const found: number[] = []
  for (const side of [-1, 1])
    for (let dr = side < 0 ? 1 : 0; dr <= alongAxis; dr++) {
      const r = row + side * dr
      if (r < 0 || r >= rows || states[r * columns + column] === 'no-data') break
      for (let dc = -round; dc <= round; dc++) {
        const n = r * columns + ((column + dc + columns) % columns)
        if (states[n] === 'bone' && n !== ray) found.push(n)
      }
    }
  return found
}

/** How many neighbours in a direction of the net lie within reach. */
function reachIn(hits: SurfaceHits, ray: number, step: number, most: number): number {
  const next = [ray + step, ray - step].find((n) => hits.states[n] === 'bone')
  if (next === undefined) return REACH
  const gap = Math.max(0.05, Math.sqrt(squared(hits.points, ray, next)))
  return Math.min(MOST_REACH, most >> 1, Math.max(REACH, Math.round(BEND_MM / gap)))
}

function meanNormal(hits: SurfaceHits, normals: Float64Array, ray: number, around: readonly number[]): Vec3 {
  let [x, y, z] = vectorAt(normals, ray)
  for (const n of around) {
    if (squared(hits.points, n, ray) > NORMAL_MM * NORMAL_MM) continue
    x += normals[3 * n]
    y += normals[3 * n + 1]
    z += normals[3 * n + 2]
  }
  return Math.hypot(x, y, z) > 1e-6 ? normalize([x, y, z]) : vectorAt(normals, ray)
}

/** Least squares of the change of the normal against the way along the surface, in the tangent plane. */
function curvature(
  { points }: SurfaceHits,
  normals: Float64Array,
  ray: number,
  around: readonly number[],
  normal: Vec3,
): number {
  const aside: Vec3 = Math.abs(normal[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0]
  const u = normalize(cross(normal, aside))
  const v = cross(normal, u)
  let [uu, uv, vv, uA, vA, uB, vB] = [0, 0, 0, 0, 0, 0, 0]
  for (const n of around) {
    const way = difference(points, n, ray)
    const size = dot(way, way)
    if (size > 4 * BEND_MM * BEND_MM) continue
    const weight = Math.exp(-0.5 * (size / (BEND_MM * BEND_MM)))
    const du = dot(way, u)
    const dv = dot(way, v)
    const turn: Vec3 = [
      normals[3 * n] - normal[0],
      normals[3 * n + 1] - normal[1],
      normals[3 * n + 2] - normal[2],
    ]
    const a = dot(turn, u)
    const b = dot(turn, v)
    uu += weight * du * du
    uv += weight * du * dv
    vv += weight * dv * dv
    uA += weight * du * a
    vA += weight * dv * a
    uB += weight * du * b
    vB += weight * dv * b
  }
  const determinant = uu * vv - uv * uv
  if (determinant < 1e-4 * (uu + vv) ** 2) return 0
  const trace = (vv * uA - uv * vA + uu * vB - uv * uB) / determinant
  return Math.max(-GREATEST_BEND, Math.min(GREATEST_BEND, trace))
}

const vectorAt = (xyz: Float64Array, n: number): Vec3 => [xyz[3 * n], xyz[3 * n + 1], xyz[3 * n + 2]]

const difference = (xyz: Float64Array, a: number, b: number): Vec3 => [
  xyz[3 * a] - xyz[3 * b],
  xyz[3 * a + 1] - xyz[3 * b + 1],
  xyz[3 * a + 2] - xyz[3 * b + 2],
]

const squared = (xyz: Float64Array, a: number, b: number): number => {
  const [x, y, z] = difference(xyz, a, b)
  return x * x + y * y + z * z
}
