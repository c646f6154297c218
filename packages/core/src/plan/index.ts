export type { Site } from '../crown/index.js'
export type { PlannedFixture } from '../fixture/index.js'
export type { AdoptedMesh, AdoptOptions, MeshPlace } from './adopt-mesh.js'
export { adoptMesh, likelierPlace } from './adopt-mesh.js'
export { crownMeshOf } from './crown-mesh.js'
export type { GreyCalibration, HuInterval } from './grey-calibration.js'
export { greyCalibration, USUAL_HU_SD } from './grey-calibration.js'
export type { PlacedCrown } from './placed-crown.js'
export { placedCrown } from './placed-crown.js'
export type {
  CalibrationPoint,
  CrownMarks,
  Plan,
  PlannedCalibration,
  PlannedCrown,
  PlannedMeshCrown,
  PlannedScan,
  PlannedTabulatedCrown,
} from './plan.js'
export { PlanError } from './plan-error.js'
export { checkPlan, readPlan, writePlan } from './read-plan.js'
export type { ScanRecord } from './with-scan.js'
export { withScan } from './with-scan.js'
