/** What of a triangle lies in a disc round the origin: its area and the two first moments of that area. */
export interface DiscPart {
  area: number
  momentU: number
  momentV: number
}

/**
 * What of a triangle of the plane (x and y of its corners) lies in the disc of a radius round the origin, written to
 * `part`. Exact: each side of the triangle gives, with the origin, triangles where it runs inside the circle and sectors where it runs outside.
 * Signed: positive for counter-clockwise triangles.
 */
export function discPart(part: DiscPart, corners: Float64Array, radius: number): void {
  part.area = 0
  part.momentU = 0
  part.momentV = 0
  for (let n = 0; n < 3; n++) {
    const m = (n + 1) % 3
    addSide(part, corners[2 * n], corners[2 * n + 1], corners[2 * m], corners[2 * m + 1], radius)
  }
}

function addSide(sum: DiscPart, ax: number, ay: number, bx: number, by: number, r: number): void {
  const wx = bx - ax
  const wy = by - ay
  const size = wx * wx + wy * wy
  if (!(size > 0)) return
  // The line meets the circle where |a + k w| = r.
  const middle = -(ax * wx + ay * wy) / size
  const off = (ax * wy - ay * wx) ** 2 / size
  const reach = off < r * r ? Math.sqrt((r * r - off) / size) : 0
  const enter = Math.min(1, Math.max(0, middle - reach))
  const leave = Math.min(1, Math.max(0, middle + reach))
  const ex = ax + enter * wx
  const ey = ay + enter * wy
  const lx = ax + leave * wx
  const ly = ay + leave * wy
  if (enter > 0) addSector(sum, ax, ay, ex, ey, r)
  if (leave > enter) addTriangle(sum, ex, ey, lx, ly)
  if (leave < 1) addSector(sum, lx, ly, bx, by, r)
}

function addTriangle(sum: DiscPart, ax: number, ay: number, bx: number, by: number): void {
  const area = (ax * by - ay * bx) / 2
  sum.area += area
  sum.momentU += (area * (ax + bx)) / 3
  sum.momentV += (area * (ay + by)) / 3
}

/** The sector of the disc between the directions of two points, turned the short way. */
function addSector(sum: DiscPart, ax: number, ay: number, bx: number, by: number, r: number): void {
  const turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by)
  const a = Math.sqrt(ax * ax + ay * ay)
  const b = Math.sqrt(bx * bx + by * by)
  if (!(a > 0 && b > 0)) return
  sum.area += (r * r * turn) / 2
  sum.momentU += (r ** 3 / 3) * (by / b - ay / a)
  sum.momentV += (r ** 3 / 3) * (ax / a - bx / b)
}

/** From the origin to the nearest point of a triangle of the plane, 0 inside it. */
export function distanceToTriangle(corners: Float64Array): number {
  let least = Number.POSITIVE_INFINITY
  let left = 0
  let right = 0
  for (let n = 0; n < 3; n++) {
    const m = (n + 1) % 3
    const ax = corners[2 * n]
    const ay = corners[2 * n + 1]
    const wx = corners[2 * m] - ax
    const wy = corners[2 * m + 1] - ay
    const turn = ax * wy - ay * wx
    if (turn > 0) left++
    if (turn < 0) right++
    const size = wx * wx + wy * wy
    const k = size > 0 ? Math.min(1, Math.max(0, -(ax * wx + ay * wy) / size)) : 0
    least = Math.min(least, (ax + k * wx) ** 2 + (ay + k * wy) ** 2)
  }
  return left === 3 || right === 3 ? 0 : Math.sqrt(least)
}
