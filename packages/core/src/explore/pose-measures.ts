import type { ExitClass } from '../crown/index.js'

/** Bone round a fixture, as in the `surface` mode of `assess`. */
export interface BoneAtPose {
  /** Least bone along rays perpendicular to the axis, mm, by sector as in Assessment.margin.sectors; null without a number. */
  readonly sectors: Readonly<Record<string, number | null>>
  /** Least of all rays, mm, negative where the fixture sticks out; null when none has a number. */
  readonly radialMm: number | null
  /** Shortest distance from the fixture's side to the outside of bone, mm, negative where it sticks out; null without a surface. */
  readonly nearestMm: number | null
  /** Share of the side's rays on which data ends before bone is as thick as the limit: a smaller margin cannot be ruled out. */
  readonly openShare: number
  /** Bone missing to the wanted margins, mm3, as Assessment.graftNeeded; null when it was not asked for. */
  readonly graftMm3: number | null
}

/** The straight access channel of a pose. Same rules as `accessExit`. */
export interface ExitAtPose {
  /** Null when the channel does not meet the crown; then the numbers are null too. */
  readonly class: ExitClass | null
  /** Orofacial distance from the edge line (central groove on posterior teeth), facial positive, mm. */
  readonly offsetMm: number | null
  /**
   * How far inside the zone where a straight exit is wanted, mm, negative outside of it. Anterior: behind the band round the
   * edge. Posterior: distance to the outline of the occlusal table.
   */
  readonly insideMm: number | null
  /** Fixture axis against the crown's long axis, degrees: its facial and its mesial part. */
  readonly tiltFacialDeg: number
  readonly tiltMesialDeg: number
}

/** How the platform lies under the crown. Same rules as `emergence`. */
export interface PlatformAtPose {
  readonly belowMarginMm: number
  readonly crownHeightMm: number
  readonly rimOralMm: number
  readonly steepestDeg: number
}

/** The wall round the straight channel: least, mm, negative where it breaks through; null when nothing is left to measure. */
export interface WallAtPose {
  readonly leastMm: number | null
  /** Share of the wall that has crown round it, 0 to 1. */
  readonly closedShare: number
}

/** Everything cheap about a pose, for a chart. */
export interface PoseMeasures extends BoneAtPose, ExitAtPose {
  /** Least bend to the wanted place, degrees; 0 where the straight channel is there; null when none up to 60 is. */
  readonly correctionDeg: number | null
  /** Shortest distance to what is known not to be bone (neighbouring teeth, fixtures already there), mm; null when nothing is. */
  readonly clearanceMm: number | null
}
