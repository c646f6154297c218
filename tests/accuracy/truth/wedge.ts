/**
 * Shortest distance from (u, v) inside a wedge, apex at 0 and opening towards -v, to its nearer face:
 * -v sin a - |u| cos a, a half the angle between the faces. Negative outside, as far as a face and not the apex is nearest.
 */
export function wedgeDistance(halfAngleDeg: number, [u, v]: readonly [number, number]): number {
  const angle = (halfAngleDeg * Math.PI) / 180
  return -v * Math.sin(angle) - Math.abs(u) * Math.cos(angle)
}
