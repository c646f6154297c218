export type { Mat4 } from './matrix.js'
export {
  column,
  fromFrame,
  fromRows,
  invert,
  multiply,
  toIndex,
  toRows,
  toWorld,
  transformDirection,
  transformPoint,
} from './matrix.js'
export type { LineHit, Mesh } from './mesh.js'
export { corners, enclosedVolume, intersectLine, surfaceArea, vertex } from './mesh.js'
export { lpsRasSwapped, mirroredMesh, scaledMesh } from './mesh-changes.js'
export type { Polyline } from './slice-mesh.js'
export { sliceMesh } from './slice-mesh.js'
export type { IndexPoint, Vec3, WorldPoint } from './vector.js'
export {
  add,
  along,
  angleDeg,
  cross,
  distance,
  dot,
  length,
  normalize,
  perpendicularTo,
  scale,
  subtract,
} from './vector.js'
