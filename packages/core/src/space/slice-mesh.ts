import type { Mesh } from './mesh.js'
import { vertex } from './mesh.js'
import type { Vec3 } from './vector.js'
import { dot, normalize } from './vector.js'

/** A line through points in order. `closed`: the last point joins the first, which is not repeated. */
export interface Polyline {
  readonly points: readonly Vec3[]
  readonly closed: boolean
}

/**
 * The cut of a mesh by the plane through `origin` across `normal`, in the mesh's own coordinates. A closed mesh gives
 * closed lines, counter-clockwise round its inside seen from the tip of the normal; its triangles must share their
 * vertices, or every triangle gives a piece of its own. Vertices in the plane count as lying on the normal's side, so
 * a plane through vertices or through a whole face gives no line twice.
 * @throws RangeError when the normal has no length.
 */
export function sliceMesh(mesh: Mesh, origin: Vec3, normal: Vec3): Polyline[] {
  const unit = normalize(normal)
  const level = dot(origin, unit)
  const count = mesh.positions.length / 3
  const heights = new Float64Array(count)
  for (let i = 0; i < count; i++) heights[i] = dot(vertex(mesh, i), unit) - level
  const points = new Map<number, Vec3>()
  const next = new Map<number, number>()
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    let from = -1
    let to = -1
    for (let i = 0; i < 3; i++) {
      const a = mesh.triangles[t + i]
      const b = mesh.triangles[t + ((i + 1) % 3)]
      const up = heights[b] >= 0
      if (heights[a] >= 0 === up) continue
      const key = Math.min(a, b) * count + Math.max(a, b)
      if (!points.has(key)) points.set(key, between(mesh, heights, Math.min(a, b), Math.max(a, b)))
      if (up) to = key
      else from = key
    }
    if (from >= 0) next.set(from, to)
  }
  return chain(points, next)
}

function between(mesh: Mesh, heights: Float64Array, a: number, b: number): Vec3 {
  const k = heights[a] / (heights[a] - heights[b])
  const p = vertex(mesh, a)
  const q = vertex(mesh, b)
  return [p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1]), p[2] + k * (q[2] - p[2])]
}

/** Follows the pieces of the cut; those nothing leads to come first, as they start open lines. */
function chain(points: ReadonlyMap<number, Vec3>, next: ReadonlyMap<number, number>): Polyline[] {
  const reached = new Set(next.values())
  const starts = [...next.keys()].sort((a, b) => Number(reached.has(a)) - Number(reached.has(b)))
  const used = new Set<number>()
  const lines: Polyline[] = []
  for (const start of starts) {
    if (used.has(start)) continue
    const line: Vec3[] = []
    let at: number | undefined = start
    while (at !== undefined && !used.has(at)) {
      used.add(at)
      const point = points.get(at)
      if (point) line.push(point)
      at = next.get(at)
    }
    lines.push({ points: line, closed: at === start })
  }
  return lines
}
