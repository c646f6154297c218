import { type BoneModel, boneModel, type Volume } from '../src/index.js'
import { ridge } from './ridge-scene.js'

/** Found once, to be dressed as the model of other volumes. */
const some = boneModel(ridge(40))

/** A model that calls everything bone, with levels as given: density needs no more of it. */
export const allBone = (volume: Volume, softGrey = 0, cortexGrey = 1): BoneModel => ({
  ...some,
  volume,
  calibration: { ...some.calibration, softGrey, cortexGrey },
  exterior: {
    ...some.exterior,
    cells: new Uint8Array(volume.shape[0] * volume.shape[1] * volume.shape[2]),
    shape: volume.shape,
    step: [1, 1, 1],
  },
})
