/** A solid of revolution about an axis: [depth along the axis, radius] pairs, depth rising; flat ends. */
export type Outline = readonly (readonly [number, number])[]

/**
 * Signed distance from a place beside an axis to a solid of revolution, in the outline's unit: negative inside.
 * @param depth along the axis. @param radius from the axis.
 */
export function distanceToRevolved(outline: Outline, depth: number, radius: number): number {
  const [firstDepth, firstRadius] = outline[0]
  const [lastDepth, lastRadius] = outline[outline.length - 1]
  let least = Math.min(
    toSegment(depth, radius, firstDepth, 0, firstDepth, firstRadius),
    toSegment(depth, radius, lastDepth, 0, lastDepth, lastRadius),
  )
  let within = false
  for (let n = 1; n < outline.length; n++) {
    const [d0, r0] = outline[n - 1]
    const [d1, r1] = outline[n]
    least = Math.min(least, toSegment(depth, radius, d0, r0, d1, r1))
    if (depth >= d0 && depth <= d1 && radius <= r0 + ((r1 - r0) * (depth - d0)) / (d1 - d0)) within = true
  }
  return within ? -least : least
}

function toSegment(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax
  const uy = by - ay
  const size = ux * ux + uy * uy
  const t = size === 0 ? 0 : Math.max(0, Math.min(1, ((x - ax) * ux + (y - ay) * uy) / size))
  return Math.hypot(x - ax - t * ux, y - ay - t * uy)
}
