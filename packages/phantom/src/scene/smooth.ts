/** Minimum of two distances with the corner rounded over `k` mm (quadratic): the union of two bodies. */
export function smoothMin(a: number, b: number, k: number): number {
  const h = k - Math.abs(a - b)
  return h > 0 ? Math.min(a, b) - (h * h) / (4 * k) : Math.min(a, b)
}

/** Maximum with the corner rounded over `k` mm: the intersection of two bodies. */
export const smoothMax = (a: number, b: number, k: number): number => -smoothMin(-a, -b, k)

/** exp(-(x / w)^2): a hump of height 1; nothing beyond four widths, where 1e-7 would be left. */
export function hump(x: number, w: number): number {
  const u = (x * x) / (w * w)
  return u > 16 ? 0 : Math.exp(-u)
}

/** 0 below a, 1 above b, smooth between. */
export function ramp(x: number, a: number, b: number): number {
  const u = Math.min(1, Math.max(0, (x - a) / (b - a)))
  return u * u * (3 - 2 * u)
}

/** First-order signed distance to an ellipsoid with half axes a, b, c; exact on its surface. */
export function ellipsoid(x: number, y: number, z: number, a: number, b: number, c: number): number {
  const k0 = Math.sqrt((x / a) ** 2 + (y / b) ** 2 + (z / c) ** 2)
  const k1 = Math.sqrt((x / (a * a)) ** 2 + (y / (b * b)) ** 2 + (z / (c * c)) ** 2)
  return k1 < 1e-9 ? -Math.min(a, b, c) : (k0 * (k0 - 1)) / k1
}

/**
 * A smooth curve through knots [x, y] with rising x: piecewise cubic, monotone between knots (Fritsch and Carlson
 * 1980), constant beyond, tabulated because it is asked millions of times.
 */
export function curve(knots: readonly (readonly [number, number])[], step = 0.02): (x: number) => number {
  const xs = knots.map((k) => k[0])
  const ys = knots.map((k) => k[1])
  const slopes = monotoneSlopes(xs, ys)
  const first = xs[0] as number
  const last = xs[xs.length - 1] as number
  return lookup((x) => hermite(xs, ys, slopes, x), first, last, step)
}

/** A function of one variable as a table with straight lines between, constant beyond its ends. */
export function lookup(
  f: (x: number) => number,
  from: number,
  to: number,
  step = 0.02,
): (x: number) => number {
  const count = Math.ceil((to - from) / step) + 2
  const table = Float64Array.from({ length: count }, (_, n) => f(from + n * step))
  return (x) => {
    const at = Math.min(count - 1.0001, Math.max(0, (x - from) / step))
    const n = at | 0
    const low = table[n] as number
    return low + ((table[n + 1] as number) - low) * (at - n)
  }
}

function monotoneSlopes(xs: readonly number[], ys: readonly number[]): number[] {
  const rise = xs.slice(1).map((x, i) => {
    const dy = (ys[i + 1] as number) - (ys[i] as number)
    return dy / (x - (xs[i] as number))
  })
  return xs.map((_, i) => {
    const before = rise[i - 1] ?? 0
    const after = rise[i] ?? 0
    if (before * after <= 0) return 0
    return (2 * before * after) / (before + after)
  })
}

function hermite(
  xs: readonly number[],
  ys: readonly number[],
  slopes: readonly number[],
  at: number,
): number {
  const last = xs.length - 1
  const x = Math.min(xs[last] as number, Math.max(xs[0] as number, at))
  let i = 0
  while (i < last - 1 && x > (xs[i + 1] as number)) i++
  const h = (xs[i + 1] as number) - (xs[i] as number)
  const u = (x - (xs[i] as number)) / h
  const v = 1 - u
  return (
    (ys[i] as number) * v * v * (1 + 2 * u) +
    (ys[i + 1] as number) * u * u * (1 + 2 * v) +
    h * u * v * ((slopes[i] as number) * v - (slopes[i + 1] as number) * u)
  )
}
