import {
  corners,
  cross,
  dot,
  enclosedVolume,
  intersectLine,
  type Mesh,
  subtract,
  type Vec3,
} from '../space/index.js'
import type { Solid, Span } from './masks-solid.js'

/** Triangles in one box at the bottom of the tree. */
const LEAF = 8
/** Crossings of the same sense nearer than this, in units of the direction, are one: the line met an edge. */
const SAME = 1e-7

/** A box round some triangles: either two boxes inside, or the triangles. */
interface Box {
  readonly low: Vec3
  readonly high: Vec3
  readonly halves: readonly Box[]
  readonly mesh: Mesh | null
}

/** @throws RangeError when the mesh is open or wound inside out. */
export function meshSolid(mesh: Mesh): Solid {
  if (!isClosed(mesh) || !(enclosedVolume(mesh) > 0))
    throw new RangeError('a mask mesh is open or wound inside out: repair it and export it again')
  const tree = boxed(mesh)
  return {
    low: tree.low,
    high: tree.high,
    spans: (origin, direction) => spansOf(crossings(tree, origin, direction)),
  }
}

/** Corners nearer to each other than about this, mm, are one. */
const WELD_MM = 1e-5

/** Whether every edge is run through as often one way as the other. */
function isClosed({ positions, triangles }: Mesh): boolean {
  const names = new Map<string, number>()
  const welded = Uint32Array.from({ length: positions.length / 3 }, (_, n) => {
    const key = positions
      .subarray(3 * n, 3 * n + 3)
      .map((v) => Math.round(v / WELD_MM))
      .join()
    const name = names.get(key) ?? names.size
    names.set(key, name)
    return name
  })
  const open = new Map<number, number>()
  for (let t = 0; t < triangles.length; t++) {
    const a = welded[triangles[t]]
    const b = welded[triangles[t % 3 === 2 ? t - 2 : t + 1]]
    if (a === b) continue
    const edge = Math.min(a, b) * names.size + Math.max(a, b)
    const sum = (open.get(edge) ?? 0) + (a < b ? 1 : -1)
    if (sum === 0) open.delete(edge)
    else open.set(edge, sum)
  }
  return open.size === 0
}

/** A tree of boxes, split in the middle of the longest side. */
function boxed(mesh: Mesh): Box {
  const count = mesh.triangles.length / 3
  const low = new Float64Array(3 * count)
  const high = new Float64Array(3 * count)
  for (let n = 0; n < 3 * count; n++) {
    const at = (corner: number) => mesh.positions[3 * mesh.triangles[n - (n % 3) + corner] + (n % 3)]
    low[n] = Math.min(at(0), at(1), at(2))
    high[n] = Math.max(at(0), at(1), at(2))
  }
  const build = (chosen: Uint32Array): Box => {
    const box = { low: bound(low, chosen, Math.min), high: bound(high, chosen, Math.max) }
    if (chosen.length <= LEAF) return { ...box, halves: [], mesh: only(mesh, chosen) }
    const sides = box.low.map((v, a) => box.high[a] - v)
    const axis = sides.indexOf(Math.max(...sides))
    const middle = (t: number) => low[3 * t + axis] + high[3 * t + axis]
    const sorted = chosen.slice().sort((s, t) => middle(s) - middle(t))
    const half = sorted.length >> 1
    return { ...box, halves: [build(sorted.slice(0, half)), build(sorted.slice(half))], mesh: null }
  }
  return build(Uint32Array.from({ length: count }, (_, t) => t))
}

function bound(values: Float64Array, triangles: Uint32Array, pick: (a: number, b: number) => number): Vec3 {
  const axes = [0, 1, 2].map((a) =>
    triangles.reduce((best, t) => pick(best, values[3 * t + a]), values[3 * triangles[0] + a]),
  )
  return axes as unknown as Vec3
}

function only({ positions, triangles }: Mesh, chosen: Uint32Array): Mesh {
  const kept = new Uint32Array(3 * chosen.length)
  chosen.forEach((t, n) => {
    kept.set(triangles.subarray(3 * t, 3 * t + 3), 3 * n)
  })
  return { positions, triangles: kept }
}

/** Where a line passes the surface. */
interface Crossing {
  readonly at: number
  readonly inwards: boolean
}

function crossings(box: Box, origin: Vec3, direction: Vec3): Crossing[] {
  if (!meets(box, origin, direction)) return []
  if (box.mesh === null) return box.halves.flatMap((half) => crossings(half, origin, direction))
  const { mesh } = box
  return intersectLine(mesh, origin, direction).map(({ distance, triangle }) => {
    const [a, b, c] = corners(mesh, triangle)
    const outward = cross(subtract(b, a), subtract(c, a))
    return { at: distance, inwards: dot(outward, direction) < 0 }
  })
}

/** Whether the whole line meets the box, a hair wider than it is. */
function meets({ low, high }: Box, origin: Vec3, direction: Vec3): boolean {
  let enter = Number.NEGATIVE_INFINITY
  let leave = Number.POSITIVE_INFINITY
  for (const a of [0, 1, 2] as const) {
    const from = low[a] - 1e-9 - origin[a]
    const to = high[a] + 1e-9 - origin[a]
    if (direction[a] === 0) {
      if (from > 0 || to < 0) return false
      continue
    }
    const s = from / direction[a]
    const t = to / direction[a]
    enter = Math.max(enter, Math.min(s, t))
    leave = Math.min(leave, Math.max(s, t))
  }
  return enter <= leave
}

/** Shells may overlap: inside is where more was entered than left. */
function spansOf(found: Crossing[]): Span[] {
  found.sort((a, b) => a.at - b.at)
  const spans: Span[] = []
  let entered = Number.NEGATIVE_INFINITY
  let left = Number.NEGATIVE_INFINITY
  let depth = 0
  let enter = 0
  for (const { at, inwards } of found) {
    if (at - (inwards ? entered : left) < SAME) continue
    if (inwards) {
      entered = at
      if (depth++ === 0) enter = at
    } else {
      left = at
      if (depth > 0 && --depth === 0) spans.push({ enter, leave: at })
    }
  }
  return spans
}
