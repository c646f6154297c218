import type { Mesh, Vec3 } from '../space/index.js'
import { corners, cross, length, subtract } from '../space/index.js'
import type { CrownRegion } from './crown.js'

/** What the faces of a mesh crown are told apart by, in its frame. */
export interface RegionLines {
  readonly mesialSign: 1 | -1
  readonly margin: readonly Vec3[]
  readonly edge: readonly Vec3[]
  /** Null on anterior teeth. */
  readonly table: readonly (readonly [number, number])[] | null
}

/** A surface that faces coronally within this of an incisal edge's height belongs to the edge, mm. Own choice. */
const EDGE_HEIGHT_MM = 1.5
/** As level as this, the z of a unit normal: about 45 degrees. */
const LEVEL = 0.7
/** Sectors in which the margin's distance from the long axis is kept. */
const SECTORS = 72

/**
 * The face each triangle belongs to: `base` inside the cervical margin and facing apically, `edge` round the incisal
 * edge or in the occlusal table, else by where it faces.
 */
export function regionsOf(mesh: Mesh, lines: RegionLines): CrownRegion[] {
  const inMargin = marginTest(lines.margin)
  return Array.from({ length: mesh.triangles.length / 3 }, (_, t) => {
    const [a, b, c] = corners(mesh, t)
    const across = cross(subtract(b, a), subtract(c, a))
    const size = length(across)
    const [nx, ny, nz] = size > 0 ? [across[0] / size, across[1] / size, across[2] / size] : across
    const middle: Vec3 = [(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3]
    if (nz > 0 && inMargin(middle)) return 'base'
    if (onEdge(middle, nz, lines)) return 'edge'
    if (Math.abs(nx) >= Math.abs(ny)) return nx > 0 ? 'facial' : 'oral'
    return ny * lines.mesialSign > 0 ? 'mesial' : 'distal'
  })
}

function onEdge([x, y, z]: Vec3, nz: number, { edge, table }: RegionLines): boolean {
  if (table) return nz < 0 && within(table, x, y)
  if (nz > -LEVEL || edge.length === 0) return false
  const nearest = edge.reduce((best, p) => (Math.abs(p[1] - y) < Math.abs(best[1] - y) ? p : best))
  return z - nearest[2] < EDGE_HEIGHT_MM
}

/** Whether a point lies within the margin as seen along the long axis, and not further coronal than its own sector's margin by the crown's width. */
function marginTest(margin: readonly Vec3[]): (p: Vec3) => boolean {
  if (margin.length < 3) return () => false
  const cx = margin.reduce((sum, p) => sum + p[0] / margin.length, 0)
  const cy = margin.reduce((sum, p) => sum + p[1] / margin.length, 0)
  const outline = margin.map((p) => [p[0], p[1]] as const)
  const wide = Math.max(...outline.map(([x, y]) => Math.hypot(x - cx, y - cy)))
  const sector = (x: number, y: number): number =>
    Math.floor(((Math.atan2(y - cy, x - cx) + Math.PI) / (2 * Math.PI)) * SECTORS) % SECTORS
  const level = new Float64Array(SECTORS).fill(Number.POSITIVE_INFINITY)
  for (const p of margin) level[sector(p[0], p[1])] = Math.min(level[sector(p[0], p[1])], p[2])
  const lowest = Math.min(...margin.map((p) => p[2]))
  return ([x, y, z]) => {
    const floor = level[sector(x, y)]
    return z > (Number.isFinite(floor) ? floor : lowest) - wide && within(outline, x, y)
  }
}

/** Even-odd rule. */
function within(polygon: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let inside = false
  let [px, py] = polygon[polygon.length - 1] ?? [0, 0]
  for (const [qx, qy] of polygon) {
    if (qy > y !== py > y && x < qx + ((y - qy) / (py - qy)) * (px - qx)) inside = !inside
    px = qx
    py = qy
  }
  return inside
}
