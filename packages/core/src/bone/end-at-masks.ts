import { along, type Vec3, type WorldPoint } from '../space/index.js'
import type { SurfaceHits } from './hits.js'
import { type BoneMask, rayToMasks } from './masks.js'
import type { RayFan } from './rays.js'

/**
 * Ends rays that enter a mask before they leave bone there, exactly on the mask's surface; the hits are changed in place.
 * Answers 1 for each such ray.
 */
export function endAtMasks(
  masks: readonly BoneMask[],
  { starts, directions, columns }: RayFan,
  hits: SurfaceHits,
  rangeMm: number,
): Uint8Array {
  const masked = new Uint8Array(hits.states.length)
  if (masks.length === 0) return masked
  const toMasks = rayToMasks(masks)
  for (let ray = 0; ray < masked.length; ray++) {
    const state = hits.states[ray]
    const reachMm =
      state === 'bone' ? hits.radiusMm[ray] : state === 'no-data' ? hits.followedMm[ray] : rangeMm
    const start = starts[Math.floor(ray / columns)] as WorldPoint
    const direction = directions[ray] as Vec3
    const distanceMm = state === 'axis-outside' ? null : toMasks(start, direction, reachMm)
    if (distanceMm === null) continue
    if (distanceMm === 0) {
      hits.states[ray] = 'axis-outside'
      hits.radiusMm[ray] = Number.NaN
      hits.points.fill(Number.NaN, 3 * ray, 3 * ray + 3)
      continue
    }
    masked[ray] = 1
    hits.states[ray] = 'bone'
    hits.radiusMm[ray] = distanceMm
    hits.points.set(along(start, direction, distanceMm), 3 * ray)
  }
  return masked
}
