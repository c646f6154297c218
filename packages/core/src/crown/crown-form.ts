/**
 * The shape of a crown over `t`, the share of the way from the cervical margin (0) to the rim of the incisal or
 * occlusal surface (1). Lengths in mm, in a frame with +x facial and +y mesial.
 */
export interface CrownForm {
  /**
   * The cross-section at `t`, one point for each angle (0 mesial, 90 degrees facial, radians). Round the cervical
   * margin it must be as wide as the table says; higher up `loft` brings the widths to those of the table.
   */
  readonly section: (t: number, angles: readonly number[]) => (readonly [x: number, y: number])[]
  /** Heights that the mesh must pass through: those of contour. */
  readonly crests: readonly number[]
  /** The line the incisal or occlusal surface closes on: its x, and its length as a share of the surface's. */
  readonly ridgeX: (y: number) => number
  readonly ridgeShare: (halfLengthMm: number) => number
  /** How often the crease at the rim is rounded over. */
  readonly roundings: number
  /** How far below the highest point of the crown the surface lies at (x, y), mm, up to a constant. */
  readonly depth: (x: number, y: number) => number
}

/** Half of what a front tooth or a back tooth measures, mm. */
export interface HalfWidths {
  readonly md: number
  readonly mdCervical: number
  readonly ll: number
  readonly llCervical: number
}

const clamped = (s: number): number => Math.min(1, Math.max(0, s))

/** From 0 at `from` to 1 at `to`, level at both ends. */
export function smooth(from: number, to: number, at: number): number {
  const s = clamped((at - from) / (to - from))
  return s * s * (3 - 2 * s)
}

/** A round hump of height 1 over `middle`; beyond twice its width next to nothing is left. */
export const hump = (at: number, middle: number, width: number): number =>
  Math.exp(-(((at - middle) / width) ** 2))

/** A quarter of an ellipse from 0 at s = 0 to 1 at s = 1, upright at the end: a rounded corner. */
export const corner = (s: number): number => 1 - Math.sqrt(Math.max(0, 1 - clamped(s) ** 2))

/** From 0 to 1, level at the end, leaving the start with slope `start`: a bulge that reaches its height of contour. */
export function bulge(s: number, start: number): number {
  const u = clamped(s)
  return start * u * (1 - u) ** 2 + u * u * (3 - 2 * u)
}

/** A smooth line through points of rising t: the natural cubic spline. */
export function through(points: readonly (readonly [t: number, value: number])[]): (t: number) => number {
  const last = points.length - 1
  const step = points.map(([t], i) => (i < last ? points[i + 1][0] - t : 0))
  const slope = points.map(([, v], i) => (i < last ? (points[i + 1][1] - v) / step[i] : 0))
  // Second derivatives by elimination of the tridiagonal system.
  const diagonal = [1]
  const right = [0]
  for (let i = 1; i < last; i++) {
    const factor = i > 1 ? step[i - 1] / diagonal[i - 1] : 0
    diagonal.push(2 * (step[i - 1] + step[i]) - factor * (i > 1 ? step[i - 1] : 0))
    right.push(6 * (slope[i] - slope[i - 1]) - factor * right[i - 1])
  }
  const second = points.map(() => 0)
  for (let i = last - 1; i > 0; i--) second[i] = (right[i] - step[i] * second[i + 1]) / diagonal[i]
  return (t) => {
    let i = 0
    while (i < last - 1 && t > points[i + 1][0]) i++
    const h = step[i]
    const a = (points[i + 1][0] - t) / h
    const b = 1 - a
    return (
      a * points[i][1] +
      b * points[i + 1][1] +
      (((a ** 3 - a) * second[i] + (b ** 3 - b) * second[i + 1]) * h * h) / 6
    )
  }
}
