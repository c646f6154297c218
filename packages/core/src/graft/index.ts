export type {
  GraftField,
  GraftMeshes,
  GraftOutlines,
  GraftSize,
  GraftWall,
  GraftWalls,
} from './graft-result.js'
export type { DeficitGraft, FreeGraft, GraftLoss, GraftSpec } from './graft-spec.js'
