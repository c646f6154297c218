/**
 * The arch in the jaw's own frame: x towards the patient's left, y backwards, z up, millimetres; origin in the midline on
 * the crest between the central incisors. The ridge follows half an ellipse, slightly skewed so that left and right differ.
 */
export interface ArchPoint {
  /** Distance along the arch from the midline; the patient's left is positive. */
  s: number
  /** Distance from the arch line, facial positive. */
  t: number
}

const halfWidth = 24
const depth = 33

/** Ellipse parameter to arc length, one table for both sides. */
const arcStep = Math.PI / 4096
const arc = (() => {
  const table = new Float64Array(4097)
  for (let n = 1; n <= 4096; n++) {
    const u = (n - 0.5) * arcStep
    table[n] = (table[n - 1] as number) + Math.hypot(halfWidth * Math.cos(u), depth * Math.sin(u)) * arcStep
  }
  return table
})()

const skew = (y: number): number => 0.45 * Math.sin(0.11 * y + 0.2)

/** Arch coordinates of (x, y), written into `out`. The distance is of first order: exact on the arch line. */
export function toArch(x: number, y: number, out: ArchPoint): void {
  const px = x - skew(y)
  const py = y - depth
  const k0 = Math.sqrt((px / halfWidth) ** 2 + (py / depth) ** 2)
  const k1 = Math.sqrt((px / halfWidth ** 2) ** 2 + (py / depth ** 2) ** 2)
  out.t = k1 < 1e-9 ? -halfWidth : (k0 * (k0 - 1)) / k1
  const at = Math.abs(Math.atan2(px / halfWidth, -py / depth)) / arcStep
  const n = Math.min(4095, at | 0)
  const low = arc[n] as number
  const length = low + ((arc[n + 1] as number) - low) * (at - n)
  out.s = px < 0 ? -length : length
}

/** The point of the arch line at arc length s, and the unit directions along it (towards rising s) and facial there. */
export function onArch(s: number): {
  x: number
  y: number
  along: [number, number]
  facial: [number, number]
} {
  let n = 0
  while (n < 4095 && (arc[n + 1] as number) < Math.abs(s)) n++
  const low = arc[n] as number
  const u = Math.sign(s) * arcStep * (n + (Math.abs(s) - low) / ((arc[n + 1] as number) - low))
  const y = depth - depth * Math.cos(u)
  const x = halfWidth * Math.sin(u) + skew(y)
  const du = [halfWidth * Math.cos(u), depth * Math.sin(u)] as const
  const size = Math.hypot(du[0], du[1])
  const along: [number, number] = [du[0] / size, du[1] / size]
  return { x, y, along, facial: [along[1], -along[0]] }
}
