import type { FixtureShape } from '../fixture/index.js'
import type { FixturePose } from './pose.js'
import type { BoneAtPose, ExitAtPose, PlatformAtPose, WallAtPose } from './pose-measures.js'

/** Measures one fixture shape at any pose on one site. Pure: the same pose always gives the same numbers. */
export interface PoseMeter {
  readonly shape: FixtureShape
  /** @param graft whether the bone missing to the wanted margins is reckoned too. */
  bone(pose: FixturePose, graft?: boolean): BoneAtPose
  exit(pose: FixturePose): ExitAtPose
  /** See PoseMeasures.correctionDeg. */
  correctionDeg(pose: FixturePose): number | null
  /** The least bend that keeps the wall as well, degrees; null when none does. Takes milliseconds. */
  correctionWithWallDeg(pose: FixturePose): number | null
  /** Takes a part of a millisecond. */
  wall(pose: FixturePose): WallAtPose
  platform(pose: FixturePose): PlatformAtPose
  /** See PoseMeasures.clearanceMm. */
  clearanceMm(pose: FixturePose): number | null
}
