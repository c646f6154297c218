import type { PlacementError } from '@alveometer/core'

/** Mean length of two independent normals over their common SD (Rayleigh): sqrt(pi / 2). */
const RAYLEIGH_MEAN = Math.sqrt(Math.PI / 2)
/** Even, for Simpson's rule; the integrand is smooth: 200 are good to a millionth. */
const PARTS = 200

/**
 * Mean distance of the entry from its plan, mm, for independent normals of different SD in the three directions:
 * E|x| = 1 / sqrt(pi) times the integral over u > 0 of (1 - E exp(-u^2 x^2)) / u^2, with u the tangent of an angle.
 */
export function meanEntryMm({ facial, mesial, apical }: PlacementError['entrySdMm']): number {
  // In units of the largest, so that the integrand has the same width for every error.
  const largest = Math.max(facial, mesial, apical)
  if (!(largest > 0)) return 0
  const squares = [facial, mesial, apical].map((sd) => (sd / largest) ** 2)
  const total = squares.reduce((sum, each) => sum + each, 0)
  const at = (angle: number): number => {
    const sine = Math.sin(angle)
    if (sine < 1e-6) return total
    const u = sine / Math.cos(angle)
    const kept = squares.reduce((product, square) => product / Math.sqrt(1 + 2 * u * u * square), 1)
    return (1 - kept) / (sine * sine)
  }
  const step = Math.PI / 2 / PARTS
  let sum = at(0) + 1
  for (let n = 1; n < PARTS; n++) sum += (n % 2 === 1 ? 4 : 2) * at(n * step)
  return (largest * sum * step) / 3 / Math.sqrt(Math.PI)
}

/** Mean angle between the axes, degrees. */
export const meanAngleDeg = (tiltSdDeg: number): number => tiltSdDeg * RAYLEIGH_MEAN
