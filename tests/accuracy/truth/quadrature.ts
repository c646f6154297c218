import { axisPoint, type FixtureFrame, radialDirection } from '@alveometer/core'
import type { Field } from '@alveometer/phantom'

/**
 * Mean of a field over the ring r0 < r < r1 about a frame's axis, from depth 0 to a length: the midpoint rule in cells of
 * equal volume, sum f(r_i, q_j, z_k) / N with r_i^2 spaced evenly between r0^2 and r1^2.
 */
export function ringMean(
  field: Field,
  frame: FixtureFrame,
  [r0, r1]: readonly [number, number],
  lengthMm: number,
): number {
  const [rings, angles, depths] = [32, 72, 120]
  const directions = Array.from({ length: angles }, (_, n) =>
    radialDirection(frame, (360 * (n + 0.5)) / angles),
  )
  let sum = 0
  for (let k = 0; k < depths; k++) {
    const [x, y, z] = axisPoint(frame, ((k + 0.5) * lengthMm) / depths)
    for (let i = 0; i < rings; i++) {
      const r = Math.sqrt(r0 * r0 + ((i + 0.5) * (r1 * r1 - r0 * r0)) / rings)
      for (const [dx, dy, dz] of directions) sum += field(x + r * dx, y + r * dy, z + r * dz)
    }
  }
  return sum / (rings * angles * depths)
}
