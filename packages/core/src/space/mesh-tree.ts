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

/** The first and the last crossing of a ray with t above 0; they may be the same one. */
export interface Passage {
  readonly first: LineHit
  readonly last: LineHit
}

/** First and last crossing with t above 0, or null where the ray misses the mesh. Rules as `lineCrossings`. */
export function passageThrough(tree: MeshTree, origin: Vec3, direction: Vec3): Passage | null {
  const line = sheared(origin, direction)
  if (line === null || tree.order.length === 0) return null
  const { boxes, counts, links, corners, order } = tree
  let firstPlace = -1
  let lastPlace = -1
  let least = Number.POSITIVE_INFINITY
  let most = 0
  let waiting = 0
  stack[waiting++] = 0
  while (waiting > 0) {
    const node = stack[--waiting]
    if (!(leaves(boxes, 6 * node, line) > 0)) continue
    const count = counts[node]
    if (count === 0) {
      stack[waiting++] = links[node]
      stack[waiting++] = node + 1
      continue
    }
    for (let place = links[node]; place < links[node] + count; place++) {
      const distance = crossing(corners, 9 * place, line)
      if (!(distance > 0)) continue
      if (distance < least) {
        least = distance
        firstPlace = place
      }
      if (distance > most) {
        most = distance
        lastPlace = place
      }
    }
  }
  if (lastPlace < 0) return null
  return {
    first: { distance: least, triangle: order[firstPlace] },
    last: { distance: most, triangle: order[lastPlace] },
  }
}

/** Twice a triangle's area across a direction: positive where its outside looks along it. */
export function facing({ positions: p, triangles }: Mesh, triangle: number, [dx, dy, dz]: Vec3): number {
  const a = 3 * triangles[3 * triangle]
  const b = 3 * triangles[3 * triangle + 1]
  const c = 3 * triangles[3 * triangle + 2]
  const ux = p[b] - p[a]
  const uy = p[b + 1] - p[a + 1]
  const uz = p[b + 2] - p[a + 2]
  const vx = p[c] - p[a]
  const vy = p[c + 1] - p[a + 1]
  const vz = p[c + 2] - p[a + 2]
  return dx * (uy * vz - uz * vy) + dy * (uz * vx - ux * vz) + dz * (ux * vy - uy * vx)
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
  readonly perDx: number
  readonly perDy: number
  readonly perDz: number
}

function sheared(origin: Vec3, direction: Vec3): ShearedLine | null {
  const [dx, dy, dz] = direction
  const sum = origin[0] + origin[1] + origin[2] + dx + dy + dz
  const z = widest(Math.abs(dx), Math.abs(dy), Math.abs(dz))
  const along = direction[z]
  if (along === 0 || !Number.isFinite(sum)) return null
  const x = z === 2 ? 0 : z + 1
  const y = x === 2 ? 0 : x + 1
  return {
    x,
    y,
    z,
    origin,
    shearX: direction[x] / along,
    shearY: direction[y] / along,
    perZ: 1 / along,
    perDx: inverse(dx),
    perDy: inverse(dy),
    perDz: inverse(dz),
  }
}

const widest = (x: number, y: number, z: number): 0 | 1 | 2 => (x > y ? (x > z ? 0 : 2) : y > z ? 1 : 2)

/** One over a part of a direction: as large as it may be where that is nothing. */
const inverse = (d: number): number => (Math.abs(d) > 1e-290 ? 1 / d : 1e290)

/** How far along the line it leaves a box. */
function leaves(boxes: Float64Array, at: number, { origin, perDx, perDy, perDz }: ShearedLine): number {
  const x1 = (boxes[at] - origin[0]) * perDx
  const x2 = (boxes[at + 3] - origin[0]) * perDx
  const y1 = (boxes[at + 1] - origin[1]) * perDy
  const y2 = (boxes[at + 4] - origin[1]) * perDy
  const z1 = (boxes[at + 2] - origin[2]) * perDz
  const z2 = (boxes[at + 5] - origin[2]) * perDz
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
