export type { DensityError } from './density.js'
export { densityStudy } from './density.js'
export type { NearestResult } from './nearest.js'
export { nearestStudy } from './nearest.js'
export { ridgeStudy } from './ridge.js'
export {
  correlatedStudy,
  gridName,
  gridStudy,
  NOISES,
  perturbedStudy,
  SIGMAS_MM,
  thinStudy,
  VOXELS_MM,
} from './shell.js'
export type { SimulatedPlan, SimulatedRay, SimulatedResult } from './simulated.js'
export { simulatedStudy } from './simulated.js'
export type { Finding, Study, StudyCase } from './study.js'
