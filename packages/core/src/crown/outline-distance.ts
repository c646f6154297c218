/** The shortest distance from a place to a closed outline, whether the place lies inside it or not. */
export function edgeDistanceMm(
  outline: readonly (readonly [number, number])[],
  x: number,
  y: number,
): number {
  let least = Number.POSITIVE_INFINITY
  let p = outline[outline.length - 1]
  for (let i = 0; i < outline.length; i++) {
    const q = outline[i]
    const wx = q[0] - p[0]
    const wy = q[1] - p[1]
    const size = wx * wx + wy * wy
    const share = size > 0 ? Math.min(1, Math.max(0, ((x - p[0]) * wx + (y - p[1]) * wy) / size)) : 0
    const dx = x - p[0] - share * wx
    const dy = y - p[1] - share * wy
    least = Math.min(least, dx * dx + dy * dy)
    p = q
  }
  return Math.sqrt(least)
}
