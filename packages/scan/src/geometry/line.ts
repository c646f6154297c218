import { add, along, length, scale, subtract, type Vec3 } from '@alveometer/core'

/** Points on a line at equal steps: point i is at origin + i step. */
export interface SteppedLine {
  readonly origin: Vec3
  readonly step: Vec3
}

/** How far each point is from its place on the line. */
export const distancesFrom = (line: SteppedLine, points: readonly Vec3[]): number[] =>
  points.map((p, i) => length(subtract(p, along(line.origin, line.step, i))))

/**
 * The line that most points follow. Starts from the median step, which a few displaced points cannot move, and ends
 * as least squares through the points near their place: first within `near`, then, if most are, within `tolerance`.
 */
export function fitLine(points: readonly Vec3[], near: number, tolerance: number): SteppedLine {
  const step = medianStep(points)
  const origin = median(points.map((p, i) => along(p, step, -i)))
  return [near, tolerance].reduce<SteppedLine>(
    (line, reach) => {
      const off = distancesFrom(line, points)
      const kept = points.flatMap((point, i) => ((off[i] as number) <= reach ? [{ point, i }] : []))
      return kept.length < Math.max(3, points.length / 2) ? line : leastSquares(kept)
    },
    { origin, step },
  )
}

/** The median of the steps between neighbours, component by component. */
export const medianStep = (points: readonly Vec3[]): Vec3 =>
  median(points.slice(1).map((p, i) => subtract(p, points[i] as Vec3)))

function median(vectors: readonly Vec3[]): Vec3 {
  const middle = (axis: 0 | 1 | 2) =>
    vectors.map((v) => v[axis]).sort((a, b) => a - b)[(vectors.length - 1) >> 1] as number
  return [middle(0), middle(1), middle(2)]
}

function leastSquares(points: readonly { readonly point: Vec3; readonly i: number }[]): SteppedLine {
  const n = points.length
  const middle = points.reduce((sum, { i }) => sum + i, 0) / n
  let mean: Vec3 = [0, 0, 0]
  let slope: Vec3 = [0, 0, 0]
  let weight = 0
  for (const { point, i } of points) {
    mean = add(mean, scale(point, 1 / n))
    slope = add(slope, scale(point, i - middle))
    weight += (i - middle) ** 2
  }
  const step = scale(slope, 1 / weight)
  return { origin: subtract(mean, scale(step, middle)), step }
}
