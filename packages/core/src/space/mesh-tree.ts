import type { LineHit, Mesh } from './mesh.js'
import type { MeshTree } from './mesh-tree-build.js'
import { buildMeshTree, TREE_STACK } from './mesh-tree-build.js'
import type { Vec3 } from './vector.js'

export type { MeshTree } from './mesh-tree-build.js'
export { buildMeshTree } from './mesh-tree-build.js'

const made = new WeakMap<Mesh, MeshTree>()

/** The tree over all triangles of a mesh. Built once per mesh and kept as long as the mesh is: do not write to either. */
export function meshTree(mesh: Mesh): MeshTree {
  const known = made.get(mesh)
  if (known) return known
  const tree = buildMeshTree(
    mesh,
    Uint32Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t),
  )
  made.set(mesh, tree)
  return tree
}

/**
 * Every crossing of the whole line `origin + t direction` with the mesh, nearest t first (t may be negative). As
 * `intersectLine`: edges count as inside, so a line through an edge reports both triangles; no line slips between two
 * triangles that share an edge (Woop, Benthin, Wald 2013). Triangles seen exactly edge-on and a direction without
 * length give no crossing.
 */
export function lineCrossings(tree: MeshTree, origin: Vec3, direction: Vec3): LineHit[] {
  const hits: LineHit[] = []
  const line = sheared(origin, direction)
  if (line === null || tree.order.length === 0) return hits
  let waiting = 0
  stack[waiting++] = 0
  while (waiting > 0) {
    const node = stack[--waiting]
    if (leaves(tree.boxes, 6 * node, line) === MISSES) continue
    const count = tree.counts[node]
    if (count === 0) {
      stack[waiting++] = tree.links[node]
      stack[waiting++] = node + 1
      continue
    }
    for (let place = tree.links[node]; place < tree.links[node] + count; place++) {
      const distance = crossing(tree.corners, 9 * place, line)
      if (distance !== MISSES) hits.push({ distance, triangle: tree.order[place] })
    }
  }
  return hits.sort((m, n) => m.distance - n.distance || m.triangle - n.triangle)
}

/** The crossing with the greatest t above 0, or null: where a ray leaves the mesh for good. Rules as `lineCrossings`. */
export function lastCrossing(tree: MeshTree, origin: Vec3, direction: Vec3): LineHit | null {
  const line = sheared(origin, direction)
  if (line === null || tree.order.length === 0) return null
  const { boxes, counts, links, corners } = tree
  let best = 0
  let found = -1
  let waiting = 0
  stack[waiting] = 0
  reach[waiting++] = leaves(boxes, 0, line)
  while (waiting > 0) {
    const node = stack[--waiting]
    if (!(reach[waiting] > best)) continue
    const count = counts[node]
    if (count > 0) {
      for (let place = links[node]; place < links[node] + count; place++) {
        const distance = crossing(corners, 9 * place, line)
        if (distance > best) {
          best = distance
          found = place
        }
      }
      continue
    }
    const first = leaves(boxes, 6 * (node + 1), line)
    const second = leaves(boxes, 6 * links[node], line)
    const firstIsNext = first >= second
    stack[waiting] = firstIsNext ? links[node] : node + 1
    reach[waiting++] = firstIsNext ? second : first
    stack[waiting] = firstIsNext ? node + 1 : links[node]
    reach[waiting++] = firstIsNext ? first : second
  }
  return found < 0 ? null : { distance: best, triangle: tree.order[found] }
}

/** Shared by all walks: none of them starts another one. */
const stack = new Uint32Array(TREE_STACK)
const reach = new Float64Array(TREE_STACK)

/** Where a line meets nothing. */
const MISSES = Number.NEGATIVE_INFINITY

/** A line made ready: the axis it runs along most is z, and x and y are sheared so that it runs along z alone. */
interface ShearedLine {
  readonly x: number
  readonly y: number
  readonly z: number
  readonly origin: Vec3
  readonly shearX: number
  readonly shearY: number
  readonly perZ: number
  /** One over the direction, for boxes: as large as floats allow where that is nothing. */
  readonly per: Vec3
}

function sheared(origin: Vec3, direction: Vec3): ShearedLine | null {
  const [dx, dy, dz] = direction.map(Math.abs)
  const z = dx > dy ? (dx > dz ? 0 : 2) : dy > dz ? 1 : 2
  const along = direction[z]
  if (!(Math.abs(along) > 0) || ![...origin, ...direction].every(Number.isFinite)) return null
  const x = (z + 1) % 3
  const y = (z + 2) % 3
  const per = (d: number) => (Math.abs(d) > 1e-290 ? 1 / d : 1e290)
  return {
    ...{ x, y, z, origin, shearX: direction[x] / along, shearY: direction[y] / along, perZ: 1 / along },
    per: [per(direction[0]), per(direction[1]), per(direction[2])],
  }
}

/** How far along the line it leaves a box. */
function leaves(boxes: Float64Array, at: number, { origin, per }: ShearedLine): number {
  const x1 = (boxes[at] - origin[0]) * per[0]
  const x2 = (boxes[at + 3] - origin[0]) * per[0]
  const y1 = (boxes[at + 1] - origin[1]) * per[1]
  const y2 = (boxes[at + 4] - origin[1]) * per[1]
  const z1 = (boxes[at + 2] - origin[2]) * per[2]
  const z2 = (boxes[at + 5] - origin[2]) * per[2]
  const near = Math.max(Math.min(x1, x2), Math.min(y1, y2), Math.min(z1, z2))
  const far = Math.min(Math.max(x1, x2), Math.max(y1, y2), Math.max(z1, z2))
  return near <= far ? far : MISSES
}

/**
 * How far along the line it crosses a triangle. The three products are the same number, with the sign turned, for
 * both triangles at an edge: never do both say that the line runs on the other's side.
 */
function crossing(corners: Float64Array, at: number, line: ShearedLine): number {
  const { x, y, z, origin, shearX, shearY } = line
  const az = corners[at + z] - origin[z]
  const bz = corners[at + 3 + z] - origin[z]
  const cz = corners[at + 6 + z] - origin[z]
  const ax = corners[at + x] - origin[x] - shearX * az
  const ay = corners[at + y] - origin[y] - shearY * az
  const bx = corners[at + 3 + x] - origin[x] - shearX * bz
  const by = corners[at + 3 + y] - origin[y] - shearY * bz
  const cx = corners[at + 6 + x] - origin[x] - shearX * cz
  const cy = corners[at + 6 + y] - origin[y] - shearY * cz
  const u = cx * by - cy * bx
  const v = ax * cy - ay * cx
  const w = bx * ay - by * ax
  if ((u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0)) return MISSES
  const whole = u + v + w
  if (whole === 0) return MISSES
  return ((u / whole) * az + (v / whole) * bz + (w / whole) * cz) * line.perZ
}
