import type { Vec3 } from '../space/index.js'
import type { Axis } from '../space/mesh-tree-axis.js'
import { TREE_STACK } from '../space/mesh-tree-build.js'
import type { WantedZone } from './wanted-zone.js'

/**
 * A direction seen from an axis' origin, as the place where it meets the plane across the axis at distance 1: its tangent
 * from the axis is hypot(u, v).
 */
export interface Aside {
  readonly u: number
  readonly v: number
}

/** The direction of a zone nearest to an axis, and the middle of the part of the zone that it lies on the border of. */
export interface NearestAside extends Aside {
  readonly middle: Aside
}

/** Places less than this share of a mm along the axis count as beside it or behind. */
export const LEAST_HEIGHT_MM = 1e-6

/**
 * The least angle between an axis and the directions from its origin to the places of a zone by which a ray from there
 * would leave the crown: those whose outside looks away from the origin. Exact; whether more of the crown lies beyond them is
 * not asked. Null when none is within `greatestDeg`, below 90.
 */
export function nearestAside(zone: WantedZone, axis: Axis, greatestDeg: number): NearestAside | null {
  const { tree } = zone
  if (tree.order.length === 0) return null
  const { counts, links, boxes } = tree
  best.tangent = Math.tan((greatestDeg * Math.PI) / 180) * (1 + 1e-12)
  best.found = false
  let waiting = 0
  stack[waiting] = 0
  reach[waiting++] = boxTangent(boxes, 0, axis)
  while (waiting > 0) {
    const node = stack[--waiting]
    if (!(reach[waiting] < best.tangent)) continue
    const count = counts[node]
    if (count > 0) {
      for (let place = links[node]; place < links[node] + count; place++) visit(zone, place, axis)
      continue
    }
    const first = boxTangent(boxes, 6 * (node + 1), axis)
    const second = boxTangent(boxes, 6 * links[node], axis)
    const firstIsNext = first <= second
    stack[waiting] = firstIsNext ? links[node] : node + 1
    reach[waiting++] = firstIsNext ? second : first
    stack[waiting] = firstIsNext ? node + 1 : links[node]
    reach[waiting++] = firstIsNext ? first : second
  }
  if (!best.found) return null
  return { u: best.u, v: best.v, middle: { u: best.middleU, v: best.middleV } }
}

const stack = new Uint32Array(TREE_STACK)
const reach = new Float64Array(TREE_STACK)

/** What a walk has found so far. */
const best = { tangent: 0, found: false, u: 0, v: 0, middleU: 0, middleV: 0 }

/** No point of the box is seen at a smaller tangent from the axis; infinite when all of it lies beside or behind. */
function boxTangent(boxes: Float64Array, at: number, { origin, direction: d }: Axis): number {
  const hx = (boxes[at + 3] - boxes[at]) / 2
  const hy = (boxes[at + 4] - boxes[at + 1]) / 2
  const hz = (boxes[at + 5] - boxes[at + 2]) / 2
  const x = boxes[at] + hx - origin[0]
  const y = boxes[at + 1] + hy - origin[1]
  const z = boxes[at + 2] + hz - origin[2]
  const height = x * d[0] + y * d[1] + z * d[2]
  const half = Math.abs(d[0]) * hx + Math.abs(d[1]) * hy + Math.abs(d[2]) * hz
  if (height + half < LEAST_HEIGHT_MM) return Number.POSITIVE_INFINITY
  const ex = x - height * d[0]
  const ey = y - height * d[1]
  const ez = z - height * d[2]
  const distance = Math.sqrt(ex * ex + ey * ey + ez * ez)
  if (distance < 1e-12) return 0
  const near = distance - (Math.abs(ex) * hx + Math.abs(ey) * hy + Math.abs(ez) * hz) / distance
  return near > 0 ? near / (height + half) : 0
}

/** A triangle cut at the least height: u, v, height of up to four corners, then as seen from the origin. */
const seen = new Float64Array(12)
const corner = new Float64Array(9)

function visit({ tree, planes }: WantedZone, place: number, { origin, direction: d, u, v }: Axis): void {
  const p = 4 * place
  const [ox, oy, oz] = origin
  if (!(planes[p] * ox + planes[p + 1] * oy + planes[p + 2] * oz < planes[p + 3])) return
  const { corners } = tree
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let n = 0; n < 9; n += 3) {
    const x = corners[9 * place + n] - ox
    const y = corners[9 * place + n + 1] - oy
    const z = corners[9 * place + n + 2] - oz
    const height = x * d[0] + y * d[1] + z * d[2]
    corner[n] = x * u[0] + y * u[1] + z * u[2]
    corner[n + 1] = x * v[0] + y * v[1] + z * v[2]
    corner[n + 2] = height
    least = Math.min(least, height)
    most = Math.max(most, height)
  }
  if (most < LEAST_HEIGHT_MM) return
  nearestOfPolygon(least < LEAST_HEIGHT_MM ? cutBehind() : seenWhole())
}

function seenWhole(): number {
  for (let n = 0; n < 3; n++) see(n, corner[3 * n], corner[3 * n + 1], corner[3 * n + 2])
  return 3
}

function see(n: number, u: number, v: number, height: number): void {
  seen[2 * n] = u / height
  seen[2 * n + 1] = v / height
}

/** The corners of what lies at the least height or above; answers their number. */
function cutBehind(): number {
  let kept = 0
  for (let n = 0; n < 3; n++) {
    const a = 3 * n
    const b = n < 2 ? a + 3 : 0
    const above = corner[a + 2] - LEAST_HEIGHT_MM
    const next = corner[b + 2] - LEAST_HEIGHT_MM
    if (above >= 0) see(kept++, corner[a], corner[a + 1], corner[a + 2])
    if (above >= 0 === next >= 0) continue
    const k = above / (above - next)
    see(
      kept++,
      corner[a] + k * (corner[b] - corner[a]),
      corner[a + 1] + k * (corner[b + 1] - corner[a + 1]),
      LEAST_HEIGHT_MM,
    )
  }
  return kept
}

/** The place of the polygon seen that comes nearest to the axis: the axis itself when it goes through. */
function nearestOfPolygon(count: number): void {
  let left = true
  let right = true
  let nearest = best.tangent
  let nearestU = 0
  let nearestV = 0
  for (let n = 0; n < count; n++) {
    const a = 2 * n
    const b = n + 1 < count ? a + 2 : 0
    const au = seen[a]
    const av = seen[a + 1]
    const wu = seen[b] - au
    const wv = seen[b + 1] - av
    const side = au * wv - av * wu
    if (side < 0) left = false
    if (side > 0) right = false
    const size = wu * wu + wv * wv
    const share = size > 0 ? Math.min(1, Math.max(0, -(au * wu + av * wv) / size)) : 0
    const pu = au + share * wu
    const pv = av + share * wv
    const tangent = Math.sqrt(pu * pu + pv * pv)
    if (!(tangent < nearest)) continue
    nearest = tangent
    nearestU = pu
    nearestV = pv
  }
  // Seen edge-on all sides are 0 and the nearest of them is as good.
  if (left !== right) {
    nearest = 0
    nearestU = 0
    nearestV = 0
  }
  if (!(nearest < best.tangent)) return
  best.tangent = nearest
  best.found = true
  best.u = nearestU
  best.v = nearestV
  best.middleU = middle(0, count)
  best.middleV = middle(1, count)
}

function middle(from: 0 | 1, count: number): number {
  let sum = 0
  for (let n = 0; n < count; n++) sum += seen[2 * n + from]
  return sum / count
}

/** The unit direction of an aside. */
export function directionAside({ direction, u, v }: Axis, aside: Aside): Vec3 {
  const size = Math.sqrt(1 + aside.u * aside.u + aside.v * aside.v)
  const at = (k: 0 | 1 | 2) => (direction[k] + aside.u * u[k] + aside.v * v[k]) / size
  return [at(0), at(1), at(2)]
}
