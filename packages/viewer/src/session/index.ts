export type { ScanPlace } from './default-plan.js'
export { defaultPlan } from './default-plan.js'
export type { Pivot, Tilt } from './moves.js'
export {
  apexOf,
  diameterOf,
  dragEnd,
  fixtureLengthMm,
  moveCrown,
  moveFixture,
  nudgeFixture,
  platformOffsetMm,
  pointFixture,
  setDepth,
  setDiameter,
  setLength,
  setPlatformOffset,
  setTilt,
  tiltCrown,
  tiltFixture,
  tiltOf,
  turnCrown,
} from './moves.js'
export type { PlanChangeEvent } from './plan-session.js'
export { PlanSession } from './plan-session.js'
export type { SiteFrame } from './site-frame.js'
export {
  crownOrigin,
  fromSite,
  inSite,
  mesialSign,
  rotationAbout,
  siteFrame,
} from './site-frame.js'
