import {
  dot,
  type Mat4,
  type Mesh,
  subtract,
  transformPoint,
  type Vec3,
  vertex,
  type WorldPoint,
} from '@alveometer/core'

/** Where a plane cuts a placed mesh: one segment for each triangle it passes through, LPS mm. */
export function crossSection(
  mesh: Mesh,
  pose: Mat4,
  origin: WorldPoint,
  normal: Vec3,
): (readonly [WorldPoint, WorldPoint])[] {
  const points = Array.from({ length: mesh.positions.length / 3 }, (_, v) =>
    transformPoint(pose, vertex(mesh, v)),
  )
  // A vertex exactly on the plane counts as above it, so each closed outline stays closed.
  const heights = points.map((p) => dot(subtract(p, origin), normal))
  const segments: (readonly [WorldPoint, WorldPoint])[] = []
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const ends: WorldPoint[] = []
    for (let n = 0; n < 3; n++) {
      const a = mesh.triangles[t + n] as number
      const b = mesh.triangles[t + ((n + 1) % 3)] as number
      const [ha, hb] = [heights[a] as number, heights[b] as number]
      if (ha >= 0 !== hb >= 0) ends.push(between(points[a] as Vec3, points[b] as Vec3, ha / (ha - hb)))
    }
    const [from, to] = ends
    if (from !== undefined && to !== undefined) segments.push([from, to])
  }
  return segments
}

const between = (a: Vec3, b: Vec3, k: number): WorldPoint => [
  a[0] + k * (b[0] - a[0]),
  a[1] + k * (b[1] - a[1]),
  a[2] + k * (b[2] - a[2]),
]
