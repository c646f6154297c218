export type { ExploredSite } from './explored-site.js'
export type { HeldLimit, LimitsCounted, WayOut } from './held-limit.js'
export { WAYS_OUT } from './held-limit.js'
export type { MeasuredPose } from './limit-readings.js'
export { limitReadings, limitSide } from './limit-readings.js'
export type { MissCloudOptions } from './miss-cloud.js'
export { missCloud, missCloudSteps } from './miss-cloud.js'
export type { MissCloud, MissedLimit, Percentiles, PlacementError } from './miss-cloud-result.js'
export { plannedWay } from './miss-cloud-way.js'
export type { OwnErrorSizes } from './placement-error.js'
export { freehandError, guidedError, ownError } from './placement-error.js'
export type { FixturePose } from './pose.js'
export type {
  BoneAtPose,
  ExitAtPose,
  PlatformAtPose,
  PoseMeasures,
  WallAtPose,
} from './pose-measures.js'
export type { PoseMeter } from './pose-meter.js'
export type { SiteOptions } from './site.js'
export { exploredSite, exploredSiteSteps } from './site.js'
export type { TiltChartOptions } from './tilt-chart.js'
export { tiltChart, tiltChartPose, tiltChartSteps } from './tilt-chart.js'
export { chartPivot } from './tilt-chart-pivot.js'
export type { ChartBase } from './tilt-chart-pose.js'
export { chartPlace, chartPose } from './tilt-chart-pose.js'
export type { ChartAxis, ChartField, ChartPivot, TiltChart, TiltChartSpec } from './tilt-chart-result.js'
export { chartSpec, DEFAULT_CHART_SPEC } from './tilt-chart-spec.js'
export type { Range, WayBox } from './way-space.js'
export { wayBox } from './way-space.js'
export type { WaysOutOptions, WaysOutSpec } from './ways-out.js'
export { waysOut, waysOutSteps } from './ways-out.js'
export type { WayFound, WayObjective, WaysOut } from './ways-out-result.js'
