import {
  along,
  cross,
  normalize,
  scale,
  toIndex,
  transformDirection,
  type Vec3,
  type WorldPoint,
} from '../space/index.js'
import type { IndexSampler, Volume } from '../volume/index.js'

/** Grey along a line, averaged over 13 parallel lines filling a disc: centre, 4 at 0.55 and 8 at the full radius. */
export interface DiscProfile {
  readonly positionsMm: Float64Array
  /** NaN where no line has a number. */
  readonly greys: Float64Array
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
  extent: {
    readonly fromMm: number
    readonly toMm: number
    readonly stepMm: number
    readonly radiusMm: number
  },
): DiscProfile {
  const count = Math.round((extent.toMm - extent.fromMm) / extent.stepMm) + 1
  const positionsMm = Float64Array.from({ length: count }, (_, n) => extent.fromMm + n * extent.stepMm)
  const sums = new Float64Array(count)
  const hits = new Uint8Array(count)
  const step = transformDirection(volume.worldToIndex, direction)
  for (const offset of discOffsets(direction, extent.radiusMm)) {
    const start = toIndex(volume.worldToIndex, along(point, offset, 1))
    for (let n = 0; n < count; n++) {
      const t = positionsMm[n]
      const v = sample(start[0] + t * step[0], start[1] + t * step[1], start[2] + t * step[2])
      if (Number.isNaN(v)) continue
      sums[n] = sums[n] + v
      hits[n] = hits[n] + 1
    }
  }
  return { positionsMm, greys: sums.map((s, n) => (hits[n] === 0 ? Number.NaN : s / hits[n])) }
}

function discOffsets(direction: Vec3, radiusMm: number): Vec3[] {
  const aside: Vec3 = Math.abs(direction[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0]
  const u = normalize(cross(direction, aside))
  const v = cross(direction, u)
  const ring = (count: number, radius: number) =>
    Array.from({ length: count }, (_, n) => {
      const angle = (2 * Math.PI * (n + 0.5)) / count
      return along(scale(u, radius * Math.cos(angle)), v, radius * Math.sin(angle))
    })
  return [[0, 0, 0], ...ring(4, 0.55 * radiusMm), ...ring(8, radiusMm)]
}
