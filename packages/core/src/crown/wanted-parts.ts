import type { Vec3 } from '../space/index.js'
import { cross, distance, length, subtract } from '../space/index.js'
import type { WantedStrip } from './wanted-strips.js'

/** Corners of a flat, convex part of a triangle, one after another. */
export type Polygon = readonly Vec3[]

/** Thinner parts are left by rounding where the border runs along the crown's own edges, mm. */
const LEAST_WIDTH_MM = 1e-7

/** Parts whose areas come this near to that of the whole are the whole. */
const WHOLE = 1 - 1e-9

/**
 * What of a triangle lies in strips that do not lap over each other, in order of their `fromY`. Thin parts are left out.
 * Most triangles lie wholly in some strips or out of them all: told from their extent, without cutting.
 */
export function partsIn(
  triangle: readonly [Vec3, Vec3, Vec3],
  strips: readonly WantedStrip[],
  isFacial: boolean,
): readonly Polygon[] | 'whole' {
  const [a, b, c] = triangle
  const low = Math.min(a[1], b[1], c[1])
  const high = Math.max(a[1], b[1], c[1])
  const met: WantedStrip[] = []
  let allInside = 0
  let insideMm = 0
  for (const strip of strips) {
    if (strip.fromY > high) break
    if (strip.toY < low) continue
    const from = Math.max(low, strip.fromY)
    const to = Math.min(high, strip.toY)
    const lies = whereIn(strip, triangle, from, to, isFacial)
    if (lies === 'outside') continue
    met.push(strip)
    if (lies === 'across') continue
    allInside++
    insideMm += to - from
  }
  if (met.length === 0) return []
  if (allInside === met.length && insideMm >= WHOLE * (high - low)) return 'whole'
  const parts = met
    .map((strip) => inStrip(triangle, strip, isFacial))
    .filter((part) => width(part) > LEAST_WIDTH_MM)
  const covered = parts.reduce((sum, part) => sum + area(part), 0)
  return covered >= WHOLE * area(triangle) ? 'whole' : parts
}

/** Where the stretch of a triangle between two levels of y surely lies, told from its extent. */
function whereIn(
  { fromX, toX, facialZ }: WantedStrip,
  [a, b, c]: readonly [Vec3, Vec3, Vec3],
  from: number,
  to: number,
  isFacial: boolean,
): 'inside' | 'outside' | 'across' {
  const lowX = Math.min(a[0], b[0], c[0])
  const highX = Math.max(a[0], b[0], c[0])
  const [left0, left1] = [fromX.at + fromX.slope * from, fromX.at + fromX.slope * to]
  const [right0, right1] = [toX.at + toX.slope * from, toX.at + toX.slope * to]
  if (highX < Math.min(left0, left1) || lowX > Math.max(right0, right1)) return 'outside'
  if (lowX < Math.max(left0, left1) || highX > Math.min(right0, right1)) return 'across'
  if (!isFacial) return 'inside'
  const [level0, level1] = [facialZ.at + facialZ.slope * from, facialZ.at + facialZ.slope * to]
  if (Math.min(a[2], b[2], c[2]) > Math.max(level0, level1)) return 'outside'
  return Math.max(a[2], b[2], c[2]) > Math.min(level0, level1) ? 'across' : 'inside'
}

function inStrip(triangle: Polygon, strip: WantedStrip, isFacial: boolean): Polygon {
  const { fromY, toY, fromX, toX, facialZ } = strip
  let part = cut(triangle, ([, y]) => y - fromY)
  part = cut(part, ([, y]) => toY - y)
  part = cut(part, ([x, y]) => toX.at + toX.slope * y - x)
  part = cut(part, ([x, y]) => x - fromX.at - fromX.slope * y)
  return isFacial ? cut(part, ([, y, z]) => facialZ.at + facialZ.slope * y - z) : part
}

/** What of a polygon has a linear function at 0 or above; it may be endless everywhere. */
function cut(polygon: Polygon, height: (p: Vec3) => number): Polygon {
  const heights = polygon.map(height)
  if (heights.every((h) => h >= 0)) return polygon
  return polygon.flatMap((p, n) => {
    const next = (n + 1) % polygon.length
    const q = polygon[next]
    const [a, b] = [heights[n], heights[next]]
    const kept = a >= 0 ? [p] : []
    if (a >= 0 === b >= 0) return kept
    const k = a / (a - b)
    const crossing: Vec3 = [p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1]), p[2] + k * (q[2] - p[2])]
    return [...kept, crossing]
  })
}

const width = (polygon: Polygon): number =>
  polygon.length < 3
    ? 0
    : area(polygon) / Math.max(...polygon.map((p, n) => distance(p, polygon[(n || polygon.length) - 1])))

function area(polygon: Polygon): number {
  let sum = 0
  for (let n = 2; n < polygon.length; n++)
    sum += length(cross(subtract(polygon[n - 1], polygon[0]), subtract(polygon[n], polygon[0]))) / 2
  return sum
}
