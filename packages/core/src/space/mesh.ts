import { cross, length, subtract, type Vec3 } from './vector.js'

/** An indexed triangle mesh: xyz per vertex, three vertex numbers per triangle, counter-clockwise seen from outside. */
export interface Mesh {
  readonly positions: Float64Array
  readonly triangles: Uint32Array
}

/** Where a line meets a mesh: the distance along the line in units of its direction, and the triangle. */
export interface LineHit {
  readonly distance: number
  readonly triangle: number
}

export const vertex = (mesh: Mesh, i: number): [number, number, number] => [
  mesh.positions[3 * i],
  mesh.positions[3 * i + 1],
  mesh.positions[3 * i + 2],
]

/**
 * Every crossing of the whole line `origin + t direction` with the mesh, nearest t first (t may be negative).
 * Moeller and Trumbore 1997. Edges count as inside, so a line through an edge reports both triangles.
 */
export function intersectLine(mesh: Mesh, origin: Vec3, direction: Vec3): LineHit[] {
  const { positions: p, triangles } = mesh
  const hits: LineHit[] = []
  const [dx, dy, dz] = direction
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ax = p[a]
    const ay = p[a + 1]
    const az = p[a + 2]
    const ux = p[b] - ax
    const uy = p[b + 1] - ay
    const uz = p[b + 2] - az
    const vx = p[c] - ax
    const vy = p[c + 1] - ay
    const vz = p[c + 2] - az
    const px = dy * vz - dz * vy
    const py = dz * vx - dx * vz
    const pz = dx * vy - dy * vx
    const determinant = ux * px + uy * py + uz * pz
    if (Math.abs(determinant) < 1e-14) continue
    const sx = origin[0] - ax
    const sy = origin[1] - ay
    const sz = origin[2] - az
    const u = (sx * px + sy * py + sz * pz) / determinant
    if (u < -1e-12 || u > 1 + 1e-12) continue
    const qx = sy * uz - sz * uy
    const qy = sz * ux - sx * uz
    const qz = sx * uy - sy * ux
    const v = (dx * qx + dy * qy + dz * qz) / determinant
    if (v < -1e-12 || u + v > 1 + 1e-12) continue
    hits.push({ distance: (vx * qx + vy * qy + vz * qz) / determinant, triangle: t / 3 })
  }
  return hits.sort((m, n) => m.distance - n.distance)
}

/** Volume enclosed by a closed mesh, cubic units of its coordinates; positive when the winding faces outward. */
export function enclosedVolume(mesh: Mesh): number {
  let six = 0
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = corners(mesh, t / 3)
    six +=
      a[0] * (b[1] * c[2] - b[2] * c[1]) -
      a[1] * (b[0] * c[2] - b[2] * c[0]) +
      a[2] * (b[0] * c[1] - b[1] * c[0])
  }
  return six / 6
}

/** Area of all triangles, square units of the mesh's coordinates. */
export function surfaceArea(mesh: Mesh): number {
  let area = 0
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = corners(mesh, t / 3)
    area += length(cross(subtract(b, a), subtract(c, a))) / 2
  }
  return area
}

/** The three corner points of a triangle. */
export const corners = (mesh: Mesh, triangle: number): [Vec3, Vec3, Vec3] => [
  vertex(mesh, mesh.triangles[3 * triangle]),
  vertex(mesh, mesh.triangles[3 * triangle + 1]),
  vertex(mesh, mesh.triangles[3 * triangle + 2]),
]
