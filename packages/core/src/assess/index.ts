export type { AssessOptions } from './assess.js'
export { assess } from './assess.js'
export type {
  AssessedScan,
  Assessment,
  Finding,
  FindingLevel,
  MarginMinimum,
  MarginResult,
  SectorMargin,
} from './assessment.js'
export { CAUTIONS } from './cautions.js'
export type { DensityResult } from './density-result.js'
export type { Limit } from './limits.js'
export { limitsFor } from './limits.js'
