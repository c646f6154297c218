export type { AssessOptions, AssessProgress, AssessSteps } from './assess.js'
export { assess, assessInSteps } from './assess.js'
export type { AssessedScan, Assessment, Finding, FindingLevel } from './assessment.js'
export type { DensityOptions, FixtureAtTooth } from './bone-density.js'
export { boneDensity } from './bone-density.js'
export { CAUTIONS } from './cautions.js'
export { defaultDeficitGraft, missingBone } from './default-graft.js'
export type { DensityBand } from './density-bands.js'
export { densityBands } from './density-bands.js'
export type { AppliedCalibration } from './density-calibration.js'
export type {
  CellDensity,
  DensityResult,
  DepthDensity,
  LevelDensities,
  PartDensity,
  SectorDensity,
} from './density-result.js'
export type { DefectClass, GraftAssessment, GraftedMargin } from './graft-assessment.js'
export type { ShownInterval } from './interval.js'
export { shownInterval, shownMm } from './interval.js'
export type { Limit } from './limit.js'
export type { LimitValues } from './limits.js'
export { limitsFor, resolveLimits } from './limits.js'
export type { MapRows } from './map-rows.js'
export type { ExposedRegion, MarginMinimum, SectorMargin } from './margin-cover.js'
export type { ExposureRange, MarginResult } from './margin-result.js'
export type { MeasureMode } from './measured.js'
export type { GraftMeshOptions } from './planned-graft-meshes.js'
export { plannedGraftMeshes } from './planned-graft-meshes.js'
export type { RegionMargin } from './region-margin.js'
export { restoration } from './restoration.js'
export type { RetentionFinding, RetentionReason, RetentionWay, Sourced } from './retention-result.js'
export type { Sector } from './sectors.js'
export { inSector, sectorsOf } from './sectors.js'
