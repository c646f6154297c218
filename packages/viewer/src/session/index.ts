export type { CrownStand } from './crown-moves.js'
export {
  crownOffsetMm,
  crownStandOf,
  hasCrownAxis,
  markCrown,
  setCrownOffset,
  setCrownRotation,
  setCrownSize,
  setCrownStand,
  setCrownTilt,
  tabulatedThere,
} from './crown-moves.js'
export type { ScanPlace } from './default-plan.js'
export { defaultPlan } from './default-plan.js'
export {
  defaultFreeGraft,
  defaultLoss,
  graftRanges,
  moveGraft,
  setDeficitGraft,
  setFreeGraft,
  setGraftLoss,
  withGraft,
} from './graft-moves.js'
export type { ChannelLimit } from './limit-moves.js'
export {
  channelLimit,
  channelRanges,
  limitOf,
  setBendPivot,
  setChannelDiameter,
  setChannelLimit,
  setGreatestCorrection,
} from './limit-moves.js'
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
export type { NeighbourSide } from './neighbour-moves.js'
export { markNeighbour } from './neighbour-moves.js'
export type { PlanChangeEvent } from './plan-session.js'
export { PlanSession } from './plan-session.js'
export type { SiteDirections, SiteFrame } from './site-frame.js'
export {
  crownOrigin,
  fromSite,
  inSite,
  mesialSign,
  rotationAbout,
  siteDirections,
  siteFrame,
} from './site-frame.js'
