import ndarray from 'ndarray'
import type { BoneMargin } from './bone/index.js'
import type { Volume, VoxelArray } from './volume/index.js'

/**
 * A zero-copy ndarray over a volume's own voxels, indexed (i, j, k) with x first. Writing to it writes to the volume.
 * Kept apart from the library because ndarray builds its accessors with eval, which a strict
 * Content-Security-Policy forbids.
 */
export const volumeArray = (volume: Volume): ndarray.NdArray<VoxelArray> =>
  ndarray(volume.data, [...volume.shape], [...volume.stride], volume.offset)

/** The radial margin map of fastMargin as a zero-copy ndarray, depth x angle, mm; NaN where there is no number. */
export const marginArray = ({
  radialMm,
  grid,
}: Pick<BoneMargin, 'radialMm' | 'grid'>): ndarray.NdArray<Float64Array> =>
  ndarray(radialMm, [grid.depthsMm.length, grid.anglesDeg.length])
