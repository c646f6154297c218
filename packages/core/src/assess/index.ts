export type {
  Assessment,
  DensityResult,
  DensityStatistics,
  ExitClass,
  ExitResult,
  Finding,
  FindingLevel,
  MarginMinimum,
  MarginResult,
  RayState,
  ScanCalibration,
  SectorMargin,
} from './assessment.js'
