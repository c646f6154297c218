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
  const order = triangles.filter((t) => isFinite3(mesh, t))
  const centres = new Float64Array(3 * (mesh.triangles.length / 3))
  const { positions, triangles: corner } = mesh
  let greatest = 0
  for (const t of order)
    for (let axis = 0; axis < 3; axis++) {
      const a = positions[3 * corner[3 * t] + axis]
      const b = positions[3 * corner[3 * t + 1] + axis]
      const c = positions[3 * corner[3 * t + 2] + axis]
      centres[3 * t + axis] = a / 3 + b / 3 + c / 3
      greatest = Math.max(greatest, Math.abs(a), Math.abs(b), Math.abs(c))
    }
  const padding = PADDING * greatest
  const nodes = Math.max(1, 2 * order.length)
  const boxes = new Float64Array(6 * nodes)
  const counts = new Uint32Array(nodes)
  const links = new Uint32Array(nodes)
  let used = 0

  const split = (start: number, end: number, depth: number): number => {
    const node = used++
    fillBox(mesh, order, start, end, padding, boxes, 6 * node)
    if (end - start <= LEAF) {
      counts[node] = end - start
      links[node] = start
      return node
    }
    const middle = depth < HALVES_FROM_DEPTH ? partition(centres, order, start, end) : start
    const cut = middle > start && middle < end ? middle : (start + end) >> 1
    split(start, cut, depth + 1)
    links[node] = split(cut, end, depth + 1)
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

function isFinite3({ positions, triangles }: Mesh, t: number): boolean {
  let sum = 0
  for (let i = 3 * t; i < 3 * t + 3; i++)
    for (let axis = 0; axis < 3; axis++) sum += 0 * positions[3 * triangles[i] + axis]
  return sum === 0
}

function fillBox(
  { positions, triangles }: Mesh,
  order: Uint32Array,
  start: number,
  end: number,
  padding: number,
  boxes: Float64Array,
  at: number,
): void {
  for (let axis = 0; axis < 3; axis++) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let n = start; n < end; n++)
      for (let i = 3 * order[n]; i < 3 * order[n] + 3; i++) {
        const value = positions[3 * triangles[i] + axis]
        if (value < low) low = value
        if (value > high) high = value
      }
    boxes[at + axis] = low - padding
    boxes[at + 3 + axis] = high + padding
  }
}

/** Sorts a part of the order into what lies below and above the middle of its centres' widest range. */
function partition(centres: Float64Array, order: Uint32Array, start: number, end: number): number {
  let widest = 0
  let axis = 0
  let middle = 0
  for (let k = 0; k < 3; k++) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let n = start; n < end; n++) {
      const value = centres[3 * order[n] + k]
      if (value < low) low = value
      if (value > high) high = value
    }
    if (high - low > widest) {
      widest = high - low
      axis = k
      middle = (low + high) / 2
    }
  }
  let below = start
  for (let n = start; n < end; n++)
    if (centres[3 * order[n] + axis] < middle) {
      const other = order[below]
      order[below++] = order[n]
      order[n] = other
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
