/**
 * Where the screw channel of a planned fixture leaves the planned crown, and how much bone is left all the way round,
 * measured on a cone-beam scan. Pure functions over plain records; the same numbers in Node and in a browser.
 *
 *     const assessment = assess(volume, readPlan(text))
 */
export type {
  AssessedScan,
  Assessment,
  AssessOptions,
  DensityResult,
  Finding,
  FindingLevel,
  Limit,
  MarginMinimum,
  MarginResult,
  SectorMargin,
} from './assess/index.js'
export { assess, CAUTIONS, limitsFor } from './assess/index.js'
export type {
  AbortSignal,
  BoneMargin,
  BoneModel,
  DensitySamples,
  DensityStatistics,
  Exposure,
  MarchOptions,
  PrepareOptions,
  Progress,
  RayFlag,
  RayState,
  ScanCalibration,
  SurfaceHits,
} from './bone/index.js'
export {
  boneModel,
  coreSamples,
  densityStatistics,
  FLAG_BITS,
  fastMargin,
  flagsOf,
  prepareBone,
  SHELL_WIDTH_MM,
  shellSamples,
  UNCERTAINTY_FLOOR_MM,
} from './bone/index.js'
export type {
  Crown,
  CrownLandmarks,
  CrownRegion,
  ExitClass,
  ExitLimits,
  ExitQuestion,
  ExitResult,
  Site,
  ToothDimensions,
} from './crown/index.js'
export {
  accessExit,
  crownFrameOf,
  crownFromMesh,
  crownSection,
  EXIT_LIMITS,
  edgeAt,
  isPosterior,
  isUpper,
  oralSide,
  plusYSide,
  tabulatedCrown,
  toothDimensions,
} from './crown/index.js'
export type {
  FixtureFrame,
  FixtureProfile,
  FixtureShape,
  PlannedFixture,
  SurfaceGrid,
} from './fixture/index.js'
export {
  axisPoint,
  fixtureFrame,
  fixtureProfile,
  radialDirection,
  radiusAtMm,
  surfaceGrid,
  surfacePoint,
} from './fixture/index.js'
export type {
  CalibrationPoint,
  Plan,
  PlannedCalibration,
  PlannedCrown,
  PlannedScan,
  ScanRecord,
} from './plan/index.js'
export { checkPlan, PlanError, readPlan, withScan, writePlan } from './plan/index.js'
export type { IndexPoint, LineHit, Mat4, Mesh, Polyline, Vec3, WorldPoint } from './space/index.js'
export {
  add,
  along,
  angleDeg,
  column,
  corners,
  cross,
  distance,
  dot,
  enclosedVolume,
  fromFrame,
  fromRows,
  intersectLine,
  invert,
  length,
  MeshError,
  multiply,
  normalize,
  perpendicularTo,
  readMesh,
  scale,
  sliceMesh,
  subtract,
  toIndex,
  toRows,
  toWorld,
  transformDirection,
  transformPoint,
  vertex,
} from './space/index.js'
export type {
  Confirmation,
  ConfirmedGeometry,
  GeometryPart,
  Grey,
  GreyUnit,
  ImagePlane,
  IndexBox,
  IndexSampler,
  ScanIdentity,
  ScanRemark,
  Volume,
  VolumeParts,
  VoxelArray,
} from './volume/index.js'
export {
  boxAround,
  createSampler,
  createVolume,
  fingerprint,
  reslice,
  sampleAt,
  subVolume,
} from './volume/index.js'
