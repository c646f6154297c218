import type { Vec3 } from '../space/index.js'
import { type BendPlace, bentDirection, exitAlong } from './channel-bend.js'

/** Directions round the cone of a channel bent by the limit: 5 degrees apart. */
const DIRECTIONS = 72

/**
 * Where channels bent by exactly `correctionDeg` leave the crown: a closed contour in the crown frame, its first point
 * not repeated; null where one of them misses the crown.
 */
export function reachableZone(place: BendPlace): readonly Vec3[] | null {
  const contour = Array.from({ length: DIRECTIONS }, (_, n) => {
    const direction = bentDirection(place, place.limits.correctionDeg, (360 * n) / DIRECTIONS)
    return exitAlong(place, place.pivot, direction)
  }).flatMap((exit) => (exit ? [exit.point] : []))
  return contour.length === DIRECTIONS ? contour : null
}
