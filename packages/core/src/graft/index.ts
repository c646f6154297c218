export { graftField } from './graft-field.js'
export { graftMeshes, graftMeshSteps } from './graft-meshes.js'
export { graftOutlines } from './graft-outlines.js'
export type { GraftQuestion } from './graft-question.js'
export type {
  GraftField,
  GraftGround,
  GraftMeshes,
  GraftOutlines,
  GraftSize,
  GraftWall,
  GraftWalls,
} from './graft-result.js'
export { graftSize } from './graft-size.js'
export type { DeficitGraft, FreeGraft, GraftLoss, GraftSpec } from './graft-spec.js'
export { graftedMargin } from './grafted-margin.js'
export { QuickVolume, quickGraftGrid } from './quick-volume.js'
export { wallsRemaining } from './walls.js'
export { wantedMm } from './wanted.js'
