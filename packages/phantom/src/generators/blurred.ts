import { erf, normalCdf } from './normal.js'

/**
 * A disc of radius R blurred by a Gaussian of sigma s, at distance r from its centre (all mm): the distribution
 * function of a noncentral chi-square with 2 degrees of freedom and noncentrality (r/s)^2 at (R/s)^2.
 * Written as an integral round the rim it is periodic and analytic, so the trapezoid rule is exact to about 1e-13.
 */
export function blurredDisc(r: number, R: number, s: number): number {
  if (s <= 0) return r < R ? 1 : r > R ? 0 : 0.5
  const a = R / s
  const b = Math.abs(r) / s
  if (b > a + 8.5) return 0
  const points = Math.max(32, 16 * Math.ceil(a))
  const step = (2 * Math.PI) / points
  let sum = 0
  for (let n = 0; n <= points / 2; n++) {
    const y = a * Math.sin(n * step)
    if (y > 9) continue
    const x = a * Math.cos(n * step)
    const weight = n === 0 || n === points / 2 ? 1 : 2
    sum += weight * x * Math.exp(-0.5 * y * y) * normalCdf(x - b)
  }
  return (sum * step) / Math.sqrt(2 * Math.PI)
}

/** A ball of radius R blurred by a Gaussian of sigma s, at distance r from its centre (all mm). Closed form. */
export function blurredBall(r: number, R: number, s: number): number {
  const size = Math.abs(r)
  if (s <= 0) return size < R ? 1 : size > R ? 0 : 0.5
  const root = s * Math.SQRT2
  const a = (R - size) / root
  const b = (R + size) / root
  if (size < 1e-5 * s) {
    // The limit r -> 0, where the closed form divides nothing by nothing.
    const q = R / root
    return erf(q) - (2 / Math.sqrt(Math.PI)) * q * Math.exp(-q * q)
  }
  const tails = (s / (size * Math.sqrt(2 * Math.PI))) * (Math.exp(-a * a) - Math.exp(-b * b))
  return (erf(a) + erf(b)) / 2 - tails
}

/**
 * A slow function of one variable turned into a table with cubic interpolation between `from` and `to`, constant
 * beyond. The error is about step^4 / 100 of the fourth derivative: with a step of sigma / 25, 1e-7.
 */
export function tabulate(
  f: (x: number) => number,
  from: number,
  to: number,
  step: number,
): (x: number) => number {
  const count = Math.max(4, Math.ceil((to - from) / step) + 1)
  const width = (to - from) / (count - 1)
  const values = Float64Array.from({ length: count + 2 }, (_, n) => f(from + (n - 1) * width))
  const low = f(from)
  const high = f(to)
  return (x) => {
    const at = (x - from) / width
    if (!(at > 0)) return low
    if (at >= count - 1) return high
    const n = at | 0
    const p = at - n
    const v0 = values[n] as number
    const v1 = values[n + 1] as number
    const v2 = values[n + 2] as number
    const v3 = values[n + 3] ?? high
    return v1 + 0.5 * p * (v2 - v0 + p * (2 * v0 - 5 * v1 + 4 * v2 - v3 + p * (3 * (v1 - v2) + v3 - v0)))
  }
}
