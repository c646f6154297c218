export { AlvCheckPicture } from './alv-check-picture.js'
export type { PictureSource } from './alv-geometry-check.js'
export { AlvGeometryCheck } from './alv-geometry-check.js'
