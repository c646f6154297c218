import { add, along, length, scale, subtract, type Vec3 } from '@alveometer/core'

/** Points on a line at equal steps: place k is at origin + k step. */
export interface SteppedLine {
  readonly origin: Vec3
  readonly step: Vec3
}

/** A slice's position and the place in the stack it holds. */
export interface PlacedPoint {
  readonly point: Vec3
  readonly k: number
}

/** How far each point is from its place on the line. */
export const distancesFrom = (line: SteppedLine, points: readonly PlacedPoint[]): number[] =>
  points.map(({ point, k }) => length(subtract(point, along(line.origin, line.step, k))))

/**
 * The line that most points follow. Starts from the median step, which a few displaced points cannot move, and ends
 * as least squares through the points near their place: first within `near`, then, if most are, within `tolerance`.
 */
export function fitLine(points: readonly PlacedPoint[], near: number, tolerance: number): SteppedLine {
  const step = median(
    points.slice(1).map(({ point, k }, i) => {
      const before = points[i] as PlacedPoint
      return scale(subtract(point, before.point), 1 / (k - before.k))
    }),
  )
  const origin = median(points.map(({ point, k }) => along(point, step, -k)))
  return [near, tolerance].reduce<SteppedLine>(
    (line, reach) => {
      const off = distancesFrom(line, points)
      const kept = points.filter((_, i) => (off[i] as number) <= reach)
      return kept.length < Math.max(3, points.length / 2) ? line : leastSquares(kept)
    },
    { origin, step },
  )
}

function median(vectors: readonly Vec3[]): Vec3 {
  const middle = (axis: 0 | 1 | 2) =>
    vectors.map((v) => v[axis]).sort((a, b) => a - b)[(vectors.length - 1) >> 1] as number
  return [middle(0), middle(1), middle(2)]
}

function leastSquares(points: readonly PlacedPoint[]): SteppedLine {
  const n = points.length
  const middle = points.reduce((sum, { k }) => sum + k, 0) / n
  let mean: Vec3 = [0, 0, 0]
  let slope: Vec3 = [0, 0, 0]
  let weight = 0
  for (const { point, k } of points) {
    mean = add(mean, scale(point, 1 / n))
    slope = add(slope, scale(point, k - middle))
    weight += (k - middle) ** 2
  }
  const step = scale(slope, 1 / weight)
  return { origin: subtract(mean, scale(step, middle)), step }
}
