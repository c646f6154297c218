import type { Mesh } from './mesh.js'

/** Triangles of a mesh in boxes of boxes, in the mesh's own coordinates. Not to be written to: trees are shared. */
export interface MeshTree {
  readonly mesh: Mesh
  /** Of each node: low x, y, z and high x, y, z. A parent comes before its children, its first child right after it. */
  readonly boxes: Float64Array
  /** Of each node: its triangles, 0 where it has children instead. */
  readonly counts: Uint32Array
  /** Of each node: the place of its first triangle, or the number of its second child. */
  readonly links: Uint32Array
  /** Of each place: the triangle's number in the mesh. */
  readonly order: Uint32Array
  /** Of each place: the nine coordinates of the triangle's corners. */
  readonly corners: Float64Array
}

/** Triangles in a leaf at most. */
const LEAF = 4
/** From this depth on lists are cut in halves, whatever lies where: no mesh makes the tree deep. */
const HALVES_FROM_DEPTH = 40
/** How much wider boxes are than what they hold, as a share of the greatest coordinate: above rounding. */
const PADDING = 1e-11

/** Nodes that wait at most while a tree is walked: its greatest depth is below 40 + 32. */
export const TREE_STACK = 80

/**
 * Puts triangles of a mesh into a tree: boxes are cut across the middle of their triangles' centres. Triangles with
 * a corner that is not finite are left out. O(n log n).
 */
export function buildMeshTree(mesh: Mesh, triangles: Uint32Array): MeshTree {
  const order = triangles.filter((t) => hasFiniteCorners(mesh, t))
  const centres = centresOf(mesh, order)
  const nodes = Math.max(1, 2 * order.length)
  const boxes = new Float64Array(6 * nodes)
  const counts = new Uint32Array(nodes)
  const links = new Uint32Array(nodes)
  const padding = PADDING * greatestCoordinate(mesh, order)
  let used = 0

  const split = (start: number, end: number, depth: number): number => {
    const node = used++
    if (end - start <= LEAF) {
      counts[node] = end - start
      links[node] = start
      boxOfTriangles(mesh, order, start, end, padding, boxes, 6 * node)
      return node
    }
    const middle = depth < HALVES_FROM_DEPTH ? partition(centres, order, start, end) : start
    const cut = middle > start && middle < end ? middle : (start + end) >> 1
    split(start, cut, depth + 1)
    links[node] = split(cut, end, depth + 1)
    boxOfBoxes(boxes, 6 * node, 6 * (node + 1), 6 * links[node])
    return node
  }
  split(0, order.length, 0)
  return {
    mesh,
    boxes: boxes.slice(0, 6 * used),
    counts: counts.slice(0, used),
    links: links.slice(0, used),
    order,
    corners: cornersOf(mesh, order),
  }
}

function hasFiniteCorners({ positions, triangles }: Mesh, t: number): boolean {
  let sum = 0
  for (let i = 3 * t; i < 3 * t + 3; i++) {
    const at = 3 * triangles[i]
    sum += 0 * positions[at] + 0 * positions[at + 1] + 0 * positions[at + 2]
  }
  return sum === 0
}

function greatestCoordinate({ positions, triangles }: Mesh, order: Uint32Array): number {
  let greatest = 0
  for (const t of order)
    for (let i = 3 * t; i < 3 * t + 3; i++)
      for (let at = 3 * triangles[i]; at < 3 * triangles[i] + 3; at++)
        greatest = Math.max(greatest, Math.abs(positions[at]))
  return greatest
}

/** Three times the centre of each triangle: they are only compared. */
function centresOf({ positions, triangles }: Mesh, order: Uint32Array): Float64Array {
  const centres = new Float64Array(triangles.length)
  for (const t of order) {
    const a = 3 * triangles[3 * t]
    const b = 3 * triangles[3 * t + 1]
    const c = 3 * triangles[3 * t + 2]
    for (let k = 0; k < 3; k++) centres[3 * t + k] = positions[a + k] + positions[b + k] + positions[c + k]
  }
  return centres
}

function boxOfTriangles(
  { positions, triangles }: Mesh,
  order: Uint32Array,
  start: number,
  end: number,
  padding: number,
  boxes: Float64Array,
  at: number,
): void {
  for (let k = 0; k < 3; k++) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let n = start; n < end; n++)
      for (let i = 3 * order[n]; i < 3 * order[n] + 3; i++) {
        const value = positions[3 * triangles[i] + k]
        low = Math.min(low, value)
        high = Math.max(high, value)
      }
    boxes[at + k] = low - padding
    boxes[at + 3 + k] = high + padding
  }
}

function boxOfBoxes(boxes: Float64Array, at: number, first: number, second: number): void {
  for (let k = 0; k < 3; k++) {
    boxes[at + k] = Math.min(boxes[first + k], boxes[second + k])
    boxes[at + 3 + k] = Math.max(boxes[first + 3 + k], boxes[second + 3 + k])
  }
}

/** Sorts a part of the order into what lies below and above the middle of its centres' widest range. */
function partition(centres: Float64Array, order: Uint32Array, start: number, end: number): number {
  let [lowX, lowY, lowZ] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  let [highX, highY, highZ] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let n = start; n < end; n++) {
    const at = 3 * order[n]
    lowX = Math.min(lowX, centres[at])
    lowY = Math.min(lowY, centres[at + 1])
    lowZ = Math.min(lowZ, centres[at + 2])
    highX = Math.max(highX, centres[at])
    highY = Math.max(highY, centres[at + 1])
    highZ = Math.max(highZ, centres[at + 2])
  }
  const [x, y, z] = [highX - lowX, highY - lowY, highZ - lowZ]
  const axis = x > y ? (x > z ? 0 : 2) : y > z ? 1 : 2
  const middle = axis === 0 ? lowX + x / 2 : axis === 1 ? lowY + y / 2 : lowZ + z / 2
  let below = start
  for (let n = start; n < end; n++) {
    const t = order[n]
    if (!(centres[3 * t + axis] < middle)) continue
    order[n] = order[below]
    order[below++] = t
  }
  return below
}

function cornersOf({ positions, triangles }: Mesh, order: Uint32Array): Float64Array {
  const corners = new Float64Array(9 * order.length)
  let n = 0
  for (const t of order)
    for (let i = 3 * t; i < 3 * t + 3; i++)
      for (let axis = 0; axis < 3; axis++) corners[n++] = positions[3 * triangles[i] + axis]
  return corners
}
