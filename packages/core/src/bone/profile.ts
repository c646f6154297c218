import { cross, normalize, toIndex, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import type { IndexSampler, Volume } from '../volume/index.js'

/** Grey along a line, averaged over 13 parallel lines filling a disc: centre, 4 at 0.55 and 8 at the full radius. */
export interface DiscProfile {
  readonly positionsMm: Float64Array
  /** NaN where no line has a number. */
  readonly greys: Float64Array
}

/** Where along the direction a profile runs, and how wide its disc is. */
export interface ProfileExtent {
  readonly fromMm: number
  readonly toMm: number
  readonly stepMm: number
  readonly radiusMm: number
}

/** Places of the lines in a disc of radius 1. */
const LINES: readonly (readonly [number, number])[] = [[0, 0], ...ring(4, 0.55), ...ring(8, 1)]

/** Mean of the squared distance of the lines from the middle, for a disc of radius 1. */
export const MEAN_SQUARE_OFFSET = LINES.reduce((sum, [u, v]) => sum + u * u + v * v, 0) / LINES.length

function ring(count: number, radius: number): [number, number][] {
  return Array.from({ length: count }, (_, n) => {
    const angle = (2 * Math.PI * (n + 0.5)) / count
    return [radius * Math.cos(angle), radius * Math.sin(angle)]
  })
}

/**
 * The disc profile through a point along a unit direction, from `fromMm` to `toMm` in steps.
 * @param sample a sampler in the volume's index space.
 */
export function discProfile(
  volume: Volume,
  sample: IndexSampler,
  point: WorldPoint,
  direction: Vec3,
  { fromMm, toMm, stepMm, radiusMm }: ProfileExtent,
): DiscProfile {
  const count = Math.round((toMm - fromMm) / stepMm) + 1
  const positionsMm = new Float64Array(count)
  for (let n = 0; n < count; n++) positionsMm[n] = fromMm + n * stepMm
  const greys = new Float64Array(count)
  const hits = new Uint8Array(count)
  const { worldToIndex } = volume
  const centre = toIndex(worldToIndex, point)
  const step = transformDirection(worldToIndex, direction)
  const aside: Vec3 = Math.abs(direction[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0]
  const across = normalize(cross(direction, aside))
  const u = transformDirection(worldToIndex, across)
  const v = transformDirection(worldToIndex, cross(direction, across))
  for (const [a, b] of LINES) {
    const i = centre[0] + radiusMm * (a * u[0] + b * v[0])
    const j = centre[1] + radiusMm * (a * u[1] + b * v[1])
    const k = centre[2] + radiusMm * (a * u[2] + b * v[2])
    for (let n = 0; n < count; n++) {
      const t = positionsMm[n]
      const grey = sample(i + t * step[0], j + t * step[1], k + t * step[2])
      if (Number.isNaN(grey)) continue
      greys[n] += grey
      hits[n]++
    }
  }
  for (let n = 0; n < count; n++) greys[n] = hits[n] === 0 ? Number.NaN : greys[n] / hits[n]
  return { positionsMm, greys }
}
