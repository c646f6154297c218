import type { Vec3 } from '../space/index.js'
import type { ExitClass } from './access-exit.js'

/** The straight access channel's exit. Rules of `accessExit`. */
export interface ProbedExit {
  /** Null when the channel does not meet the crown; then the numbers about its place are null too. */
  readonly class: ExitClass | null
  /** Orofacial distance from the edge line (central groove on posterior teeth), facial positive, mm. */
  readonly offsetMm: number | null
  /**
   * How far inside the zone where a straight exit is wanted, mm, negative outside of it. Anterior: behind the band round
   * the edge. Posterior: distance to the outline of the occlusal table, as seen along the crown's long axis.
   */
  readonly insideMm: number | null
  /** Fixture axis against the crown's long axis, degrees: its facial and its mesial part. */
  readonly tiltFacialDeg: number
  readonly tiltMesialDeg: number
}

/** The wall round the straight channel. Rules of `accessChannel`. */
export interface ProbedWall {
  /** Negative where it breaks through; null when nothing is left to measure. */
  readonly leastMm: number | null
  /** Share of the wall that has crown round it, 0 to 1. */
  readonly closedShare: number
}

/** How the platform lies under the crown. Rules of `emergence`. */
export interface ProbedPlatform {
  readonly belowMarginMm: number
  readonly crownHeightMm: number
  /** How far the platform's facial rim lies oral of the facial margin, mm. */
  readonly rimOralMm: number
  /** The greatest emergence angle of the profile. */
  readonly steepestDeg: number
}

/**
 * Looks at one placed crown from many fixtures. Each takes the platform's centre, LPS mm, and the direction towards the
 * apex, of any length but none, else a RangeError is thrown.
 */
export interface AccessProbe {
  /** Takes a few microseconds. */
  exit(platform: Vec3, apical: Vec3): ProbedExit
  /**
   * Least bend to the wanted place, degrees: 0 where the straight channel leaves there, null when none up to 60 does. As
   * `angledChannel`. Some ten microseconds; a millisecond where the crown hides the nearest place from the bend.
   */
  correctionDeg(platform: Vec3, apical: Vec3): number | null
  /** The least bend that keeps the wall as well, degrees. As `angledChannel`; takes milliseconds. */
  correctionWithWallDeg(platform: Vec3, apical: Vec3): number | null
  /** Takes a part of a millisecond. */
  wall(platform: Vec3, apical: Vec3): ProbedWall
  /** `radiusMm`: of the fixture at its platform. */
  platform(platform: Vec3, apical: Vec3, radiusMm: number): ProbedPlatform
}
