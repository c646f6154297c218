import type { MeshTree } from './mesh-tree-build.js'
import { TREE_STACK } from './mesh-tree-build.js'
import type { Vec3 } from './vector.js'
import { along, cross, dot, normalize, perpendicularTo } from './vector.js'

/** A line with two unit vectors across it: u, v, direction are right-handed. Heights count from the origin. */
export interface Axis {
  readonly origin: Vec3
  readonly direction: Vec3
  readonly u: Vec3
  readonly v: Vec3
}

/**
 * The axis through `origin` along `direction` whose u leans towards a direction as far as it can.
 * @throws RangeError when a direction has no length.
 */
export function axisAlong(origin: Vec3, direction: Vec3, towards: Vec3): Axis {
  const unit = normalize(direction)
  const aside = Math.abs(dot(normalize(towards), unit)) > 1 - 1e-12
  const u = perpendicularTo(aside ? [towards[1], towards[2], towards[0]] : towards, unit)
  return { origin, direction: unit, u, v: cross(unit, u) }
}

/** The point at `across` along u and v and at a height. */
export const onAxis = ({ origin, direction, u, v }: Axis, a: number, b: number, height: number): Vec3 =>
  along(along(along(origin, u, a), v, b), direction, height)

/** u, v and height of a point. */
export function axisCoordinates({ origin, direction, u, v }: Axis, [x, y, z]: Vec3): Vec3 {
  const p: Vec3 = [x - origin[0], y - origin[1], z - origin[2]]
  return [dot(p, u), dot(p, v), dot(p, direction)]
}

/** The place of a mesh that comes nearest to an axis: u, v and height along it, and the triangle. */
export interface NearestToAxis {
  readonly distance: number
  readonly at: Vec3
  readonly triangle: number
}

/**
 * The place of the mesh nearest to an axis among those that face away from it and whose height along it lies between
 * `low` and `high`: where a way straight off the axis comes out of the body soonest. Exact: triangles are cut at both
 * heights, and along the line on which they face neither to nor from the axis. Triangles across the axis face neither.
 * Null when there is none nearer than `within`.
 */
export function nearestFacingAway(
  tree: MeshTree,
  axis: Axis,
  low: number,
  high: number,
  within = Number.POSITIVE_INFINITY,
): NearestToAxis | null {
  if (!(low <= high) || tree.order.length === 0) return null
  const { counts, links } = tree
  best.distance = within
  best.place = -1
  let waiting = 0
  stack[waiting] = 0
  reach[waiting++] = boxDistance(tree.boxes, 0, axis, low, high)
  while (waiting > 0) {
    const node = stack[--waiting]
    if (!(reach[waiting] < best.distance)) continue
    const count = counts[node]
    if (count > 0) {
      for (let place = links[node]; place < links[node] + count; place++)
        visit(tree.corners, place, axis, low, high)
      continue
    }
    const first = boxDistance(tree.boxes, 6 * (node + 1), axis, low, high)
    const second = boxDistance(tree.boxes, 6 * links[node], axis, low, high)
    const firstIsNext = first <= second
    stack[waiting] = firstIsNext ? links[node] : node + 1
    reach[waiting++] = firstIsNext ? second : first
    stack[waiting] = firstIsNext ? node + 1 : links[node]
    reach[waiting++] = firstIsNext ? first : second
  }
  if (best.place < 0) return null
  return { distance: best.distance, at: [best.u, best.v, best.height], triangle: tree.order[best.place] }
}

const stack = new Uint32Array(TREE_STACK)
const reach = new Float64Array(TREE_STACK)

/** What a walk has found so far. */
const best = { distance: 0, place: -1, u: 0, v: 0, height: 0 }

/** No point of the box between the heights is nearer to the axis than this; infinite when none lies between them. */
function boxDistance(boxes: Float64Array, at: number, axis: Axis, low: number, high: number): number {
  const { origin, direction: d } = axis
  const hx = (boxes[at + 3] - boxes[at]) / 2
  const hy = (boxes[at + 4] - boxes[at + 1]) / 2
  const hz = (boxes[at + 5] - boxes[at + 2]) / 2
  const x = boxes[at] + hx - origin[0]
  const y = boxes[at + 1] + hy - origin[1]
  const z = boxes[at + 2] + hz - origin[2]
  const height = x * d[0] + y * d[1] + z * d[2]
  const half = Math.abs(d[0]) * hx + Math.abs(d[1]) * hy + Math.abs(d[2]) * hz
  if (height + half < low || height - half > high) return Number.POSITIVE_INFINITY
  const ex = x - height * d[0]
  const ey = y - height * d[1]
  const ez = z - height * d[2]
  const distance = Math.sqrt(ex * ex + ey * ey + ez * ez)
  if (distance < 1e-12) return 0
  return distance - (Math.abs(ex) * hx + Math.abs(ey) * hy + Math.abs(ez) * hz) / distance
}

/** The corners of a triangle and what three cuts leave of it: u, v, height each; a cut adds one corner at most. */
const corners3 = new Float64Array(9)
const parts = [new Float64Array(12), new Float64Array(15), new Float64Array(18)] as const

/** A normal whose part across the axis is a smaller share than this has no side that it faces: rounding. */
const ACROSS = 1e-9

function visit(corners: Float64Array, place: number, axis: Axis, low: number, high: number): void {
  const { origin, direction: d, u, v } = axis
  const c = corners3
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let n = 0; n < 9; n += 3) {
    const x = corners[9 * place + n] - origin[0]
    const y = corners[9 * place + n + 1] - origin[1]
    const z = corners[9 * place + n + 2] - origin[2]
    const height = x * d[0] + y * d[1] + z * d[2]
    c[n] = x * u[0] + y * u[1] + z * u[2]
    c[n + 1] = x * v[0] + y * v[1] + z * v[2]
    c[n + 2] = height
    least = Math.min(least, height)
    most = Math.max(most, height)
  }
  if (most < low || least > high) return
  const normalU = (c[4] - c[1]) * (c[8] - c[2]) - (c[5] - c[2]) * (c[7] - c[1])
  const normalV = (c[5] - c[2]) * (c[6] - c[0]) - (c[3] - c[0]) * (c[8] - c[2])
  const normalHeight = (c[3] - c[0]) * (c[7] - c[1]) - (c[4] - c[1]) * (c[6] - c[0])
  if (Math.abs(normalU) + Math.abs(normalV) <= ACROSS * Math.abs(normalHeight)) return
  const awayA = normalU * c[0] + normalV * c[1]
  const awayB = normalU * c[3] + normalV * c[4]
  const awayC = normalU * c[6] + normalV * c[7]
  if (awayA <= 0 && awayB <= 0 && awayC <= 0) return
  let polygon: Float64Array = c
  let count = 3
  if (awayA < 0 || awayB < 0 || awayC < 0) {
    count = cut(polygon, count, parts[0], normalU, normalV, 0, 0)
    polygon = parts[0]
  }
  if (least < low) {
    count = cut(polygon, count, parts[1], 0, 0, 1, low)
    polygon = parts[1]
  }
  if (most > high) {
    count = cut(polygon, count, parts[2], 0, 0, -1, -high)
    polygon = parts[2]
  }
  nearestOfPolygon(polygon, count, place)
}

/** What of a polygon has a u + b v + c height at a level or above; answers its number of corners. */
function cut(
  from: Float64Array,
  count: number,
  to: Float64Array,
  a: number,
  b: number,
  c: number,
  level: number,
): number {
  let kept = 0
  for (let n = 0; n < count; n++) {
    const p = 3 * n
    const q = n + 1 < count ? p + 3 : 0
    const above = a * from[p] + b * from[p + 1] + c * from[p + 2] - level
    const next = a * from[q] + b * from[q + 1] + c * from[q + 2] - level
    if (above >= 0) {
      to[kept++] = from[p]
      to[kept++] = from[p + 1]
      to[kept++] = from[p + 2]
    }
    if (above >= 0 === next >= 0) continue
    const k = above / (above - next)
    to[kept++] = from[p] + k * (from[q] - from[p])
    to[kept++] = from[p + 1] + k * (from[q + 1] - from[p + 1])
    to[kept++] = from[p + 2] + k * (from[q + 2] - from[p + 2])
  }
  return kept / 3
}

/** A polygon that faces away does not lie round the axis: one of its sides is nearest. */
function nearestOfPolygon(polygon: Float64Array, count: number, place: number): void {
  for (let n = 0; n < count; n++) {
    const a = 3 * n
    const b = n + 1 < count ? a + 3 : 0
    const au = polygon[a]
    const av = polygon[a + 1]
    const wu = polygon[b] - au
    const wv = polygon[b + 1] - av
    const size = wu * wu + wv * wv
    const share = size > 0 ? Math.min(1, Math.max(0, -(au * wu + av * wv) / size)) : 0
    const pu = au + share * wu
    const pv = av + share * wv
    const distance = Math.sqrt(pu * pu + pv * pv)
    if (!(distance < best.distance)) continue
    best.distance = distance
    best.place = place
    best.u = pu
    best.v = pv
    best.height = polygon[a + 2] + share * (polygon[b + 2] - polygon[a + 2])
  }
}
