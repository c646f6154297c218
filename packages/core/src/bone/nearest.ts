import type { Vec3 } from '../space/index.js'
import type { SurfaceHits } from './hits.js'

/** Shortest distance from a point to the outer surface, mm; `beyondMm` when nothing is nearer than that. */
export type NearestDistance = (x: number, y: number, z: number, beyondMm: number) => number

const BLOCK = 4

interface Block {
  readonly low: Vec3
  readonly high: Vec3
  /** Corner triples: offsets into the point array. */
  readonly triangles: Uint32Array
}

/**
 * Exact point-to-triangle distances to the net of hits (two triangles between neighbouring rays; none where a corner
 * is missing; hits without any triangle count as points), with boxes of 4 x 4 fields to skip what cannot be nearest.
 */
export function nearestDistance(hits: SurfaceHits): NearestDistance {
  const blocks = blocksOf(hits)
  const { points } = hits
  return (x, y, z, beyondMm) => {
    let best = beyondMm * beyondMm
    for (const { low, high, triangles } of blocks) {
      const dx = Math.max(low[0] - x, 0, x - high[0])
      const dy = Math.max(low[1] - y, 0, y - high[1])
      const dz = Math.max(low[2] - z, 0, z - high[2])
      if (dx * dx + dy * dy + dz * dz >= best) continue
      for (let t = 0; t < triangles.length; t += 3) {
        const d = pointTriangleSquared(points, triangles[t], triangles[t + 1], triangles[t + 2], x, y, z)
        if (d < best) best = d
      }
    }
    return Math.sqrt(best)
  }
}

function blocksOf(hits: SurfaceHits): Block[] {
  const blocks: Block[] = []
  for (let row = 0; row < hits.rows - 1; row += BLOCK)
    for (let column = 0; column < hits.columns; column += BLOCK) {
      const triangles: number[] = []
      for (let r = row; r < Math.min(row + BLOCK, hits.rows - 1); r++)
        for (let c = column; c < Math.min(column + BLOCK, hits.columns); c++) addField(hits, r, c, triangles)
      if (triangles.length > 0) blocks.push(bounded(hits.points, Uint32Array.from(triangles)))
    }
  const lone = loneHits(hits, blocks)
  if (lone.length > 0) blocks.push(bounded(hits.points, lone))
  return blocks
}

/** Hits that are no corner of a triangle, as triangles of one point. */
function loneHits({ states }: SurfaceHits, blocks: readonly Block[]): Uint32Array {
  const netted = new Uint8Array(states.length)
  for (const { triangles } of blocks) for (const corner of triangles) netted[corner / 3] = 1
  const lone = states.flatMap((state, n) =>
    state === 'bone' && netted[n] === 0 ? [3 * n, 3 * n, 3 * n] : [],
  )
  return Uint32Array.from(lone)
}

function addField(hits: SurfaceHits, row: number, column: number, triangles: number[]): void {
  const next = (column + 1) % hits.columns
  const a = row * hits.columns + column
  const b = row * hits.columns + next
  const c = a + hits.columns
  const d = b + hits.columns
  const solid = (n: number) => hits.states[n] === 'bone'
  if (solid(a) && solid(b) && solid(c)) triangles.push(3 * a, 3 * b, 3 * c)
  if (solid(b) && solid(d) && solid(c)) triangles.push(3 * b, 3 * d, 3 * c)
}

function bounded(points: Float64Array, triangles: Uint32Array): Block {
  const low: [number, number, number] = [Infinity, Infinity, Infinity]
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  for (const corner of triangles)
    for (const axis of [0, 1, 2] as const) {
      const v = points[corner + axis]
      if (v < low[axis]) low[axis] = v
      if (v > high[axis]) high[axis] = v
    }
  return { low, high, triangles }
}

/** Squared distance from a point to a triangle. Ericson, Real-Time Collision Detection (2005), section 5.1.5. */
function pointTriangleSquared(
  p: Float64Array,
  a: number,
  b: number,
  c: number,
  x: number,
  y: number,
  z: number,
): number {
  const ax = p[a]
  const ay = p[a + 1]
  const az = p[a + 2]
  const ux = p[b] - ax
  const uy = p[b + 1] - ay
  const uz = p[b + 2] - az
  const vx = p[c] - ax
  const vy = p[c + 1] - ay
  const vz = p[c + 2] - az
  const qx = x - ax
  const qy = y - ay
  const qz = z - az
  const d1 = ux * qx + uy * qy + uz * qz
  const d2 = vx * qx + vy * qy + vz * qz
  if (d1 <= 0 && d2 <= 0) return qx * qx + qy * qy + qz * qz
  const rx = qx - ux
  const ry = qy - uy
  const rz = qz - uz
  const d3 = ux * rx + uy * ry + uz * rz
  const d4 = vx * rx + vy * ry + vz * rz
  if (d3 >= 0 && d4 <= d3) return rx * rx + ry * ry + rz * rz
  const vc = d1 * d4 - d3 * d2
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return squared(qx, qy, qz, ux, uy, uz, d1 / (d1 - d3))
  const sx = qx - vx
  const sy = qy - vy
  const sz = qz - vz
  const d5 = ux * sx + uy * sy + uz * sz
  const d6 = vx * sx + vy * sy + vz * sz
  if (d6 >= 0 && d5 <= d6) return sx * sx + sy * sy + sz * sz
  const vb = d5 * d2 - d1 * d6
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return squared(qx, qy, qz, vx, vy, vz, d2 / (d2 - d6))
  const va = d3 * d6 - d5 * d4
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0)
    return squared(rx, ry, rz, vx - ux, vy - uy, vz - uz, (d4 - d3) / (d4 - d3 + d5 - d6))
  const sum = va + vb + vc
  const ex = qx - (ux * vb + vx * vc) / sum
  const ey = qy - (uy * vb + vy * vc) / sum
  const ez = qz - (uz * vb + vz * vc) / sum
  return ex * ex + ey * ey + ez * ez
}

function squared(qx: number, qy: number, qz: number, ux: number, uy: number, uz: number, t: number): number {
  const x = qx - t * ux
  const y = qy - t * uy
  const z = qz - t * uz
  return x * x + y * y + z * z
}
