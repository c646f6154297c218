export type { Frame } from './frame.js'
export { greyOf } from './frame.js'
export { checkRescale, greyUnit, rescaleOf } from './rescale.js'
export { Voxels } from './voxels.js'
