export type { HeldLimit, WayOut } from './held-limit.js'
export { WAYS_OUT } from './held-limit.js'
export type { MissCloud, MissedLimit, Percentiles, PlacementError } from './miss-cloud-result.js'
export type { FixturePose } from './pose.js'
export type {
  BoneAtPose,
  ExitAtPose,
  PlatformAtPose,
  PoseMeasures,
  WallAtPose,
} from './pose-measures.js'
export type { PoseMeter } from './pose-meter.js'
export type { ChartAxis, ChartField, ChartPivot, TiltChart, TiltChartSpec } from './tilt-chart-result.js'
export type { WayFound, WayObjective, WaysOut } from './ways-out-result.js'
