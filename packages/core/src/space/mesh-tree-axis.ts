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
 * The place of the mesh nearest to the axis among those whose height along it lies between `low` and `high`: exact,
 * triangles are cut at both heights. Null when there is none nearer than `within`.
 */
export function nearestToAxis(
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

/** The corners of a triangle and what two cuts leave of it: u, v, height each; a cut adds one corner at most. */
const whole = new Float64Array(9)
const half = new Float64Array(12)
const rest = new Float64Array(15)

function visit(corners: Float64Array, place: number, axis: Axis, low: number, high: number): void {
  const { origin, direction: d, u, v } = axis
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let n = 0; n < 9; n += 3) {
    const x = corners[9 * place + n] - origin[0]
    const y = corners[9 * place + n + 1] - origin[1]
    const z = corners[9 * place + n + 2] - origin[2]
    const height = x * d[0] + y * d[1] + z * d[2]
    whole[n] = x * u[0] + y * u[1] + z * u[2]
    whole[n + 1] = x * v[0] + y * v[1] + z * v[2]
    whole[n + 2] = height
    if (height < least) least = height
    if (height > most) most = height
  }
  if (most < low || least > high) return
  if (least >= low && most <= high) nearestOfPolygon(whole, 3, place)
  else {
    const kept = cut(whole, 3, half, low, 1)
    nearestOfPolygon(rest, cut(half, kept, rest, high, -1), place)
  }
}

/** What of a polygon lies above (`side` 1) or below (-1) a height; answers its number of corners. */
function cut(from: Float64Array, count: number, to: Float64Array, level: number, side: 1 | -1): number {
  let kept = 0
  for (let n = 0; n < count; n++) {
    const a = 3 * n
    const b = n + 1 < count ? a + 3 : 0
    const above = side * (from[a + 2] - level)
    const next = side * (from[b + 2] - level)
    if (above >= 0) {
      to[kept++] = from[a]
      to[kept++] = from[a + 1]
      to[kept++] = from[a + 2]
    }
    if (above >= 0 === next >= 0) continue
    const k = above / (above - next)
    to[kept++] = from[a] + k * (from[b] - from[a])
    to[kept++] = from[a + 1] + k * (from[b + 1] - from[a + 1])
    to[kept++] = level
  }
  return kept / 3
}

function nearestOfPolygon(polygon: Float64Array, count: number, place: number): void {
  let left = 0
  let right = 0
  for (let n = 0; n < count; n++) {
    const a = 3 * n
    const b = n + 1 < count ? a + 3 : 0
    const au = polygon[a]
    const av = polygon[a + 1]
    const wu = polygon[b] - au
    const wv = polygon[b + 1] - av
    const turn = au * wv - av * wu
    if (turn > 0) left++
    else if (turn < 0) right++
    const size = wu * wu + wv * wv
    const share = size > 0 ? Math.min(1, Math.max(0, -(au * wu + av * wv) / size)) : 0
    const pu = au + share * wu
    const pv = av + share * wv
    const distance = Math.sqrt(pu * pu + pv * pv)
    if (distance < best.distance)
      keep(distance, place, pu, pv, polygon[a + 2] + share * (polygon[b + 2] - polygon[a + 2]))
  }
  if (count > 2 && (left === count || right === count)) keep(0, place, 0, 0, heightOnAxis(polygon, count))
}

function keep(distance: number, place: number, u: number, v: number, height: number): void {
  if (!(distance < best.distance)) return
  best.distance = distance
  best.place = place
  best.u = u
  best.v = v
  best.height = height
}

/** Where the axis goes through a polygon that lies round it: in the triangle of its fan that holds it. */
function heightOnAxis(polygon: Float64Array, count: number): number {
  const [au, av, height] = polygon
  for (let n = 1; n + 1 < count; n++) {
    const b = 3 * n
    const c = b + 3
    const atA = polygon[b] * polygon[c + 1] - polygon[b + 1] * polygon[c]
    const atB = polygon[c] * av - polygon[c + 1] * au
    const atC = au * polygon[b + 1] - av * polygon[b]
    const whole = atA + atB + atC
    if (Math.min(atA / whole, atB / whole, atC / whole) >= -1e-9)
      return (atA * height + atB * polygon[b + 2] + atC * polygon[c + 2]) / whole
  }
  return height
}
