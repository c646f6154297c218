import { gaussianBlur } from '../random/index.js'

/** Signed distance-like function of an outline in its plane (mm): negative inside, zero on the outline. */
export type Outline = (u: number, v: number) => number

/** The ellipse with half axes a along u and b along v; first-order distance. */
export const ellipse =
  (a: number, b: number): Outline =>
  (u, v) => {
    const k0 = Math.hypot(u / a, v / b)
    const k1 = Math.hypot(u / (a * a), v / (b * b))
    return k1 === 0 ? -Math.min(a, b) : (k0 * (k0 - 1)) / k1
  }

/** A wedge opening towards -v with its apex at the origin and half the angle between its faces in degrees. */
export function wedge(halfAngleDeg: number): Outline {
  const angle = (halfAngleDeg * Math.PI) / 180
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  return (u, v) => Math.abs(u) * c + v * s
}

/**
 * The coverage (0 outside, 1 inside) of an outline blurred by a Gaussian, tabulated in a square of half-width
 * `reachMm` and constant beyond. Drawn at 0.02 mm with 4 x 4 samples on the outline, then blurred: error about 1e-3
 * mm of edge position or less. Wide outlines need a wide reach.
 */
export function blurredOutline(
  outline: Outline,
  sigmaMm: number,
  reachMm: number,
  stepMm = 0.02,
): (u: number, v: number) => number {
  const half = Math.ceil(reachMm / stepMm)
  const n = 2 * half + 1
  const cells = new Float32Array(n * n)
  for (let j = 0; j < n; j++)
    for (let i = 0; i < n; i++)
      cells[j * n + i] = coverage(outline, (i - half) * stepMm, (j - half) * stepMm, stepMm)
  const sigma = sigmaMm / stepMm
  gaussianBlur(cells, [n, n, 1], [sigma, sigma, 0], 'repeat')
  return (u, v) => {
    const x = Math.min(n - 1.001, Math.max(0, u / stepMm + half))
    const y = Math.min(n - 1.001, Math.max(0, v / stepMm + half))
    const i = x | 0
    const j = y | 0
    const at = j * n + i
    const fx = x - i
    const low = (cells[at] as number) * (1 - fx) + (cells[at + 1] as number) * fx
    const high = (cells[at + n] as number) * (1 - fx) + (cells[at + n + 1] as number) * fx
    return low + (high - low) * (y - j)
  }
}

function coverage(outline: Outline, u: number, v: number, step: number): number {
  const centre = outline(u, v)
  if (Math.abs(centre) > 3 * step) return centre < 0 ? 1 : 0
  let inside = 0
  for (let m = 0; m < 16; m++)
    if (outline(u + ((m % 4) / 4 - 0.375) * step, v + ((m >> 2) / 4 - 0.375) * step) < 0) inside++
  return inside / 16
}
