import { createVolume, type Volume } from '../src/index.js'

/** What stands for no data in volumes of these tests. */
export const NO_DATA = -32768

/** The volume with some planes of voxels across an index axis turned to no data, as a loader leaves missing slices. */
export function withSlicesMissing(volume: Volume, planes: readonly number[], axis: 0 | 1 | 2 = 2): Volume {
  const data = volume.data.slice()
  const [nx, ny, nz] = volume.shape
  for (const plane of planes)
    for (let v = 0; v < (axis === 2 ? ny : nz); v++)
      for (let u = 0; u < (axis === 0 ? ny : nx); u++) {
        const [i, j, k] = axis === 0 ? [plane, u, v] : axis === 1 ? [u, plane, v] : [u, v, plane]
        data[i + nx * (j + ny * k)] = NO_DATA
      }
  return createVolume({
    data,
    shape: volume.shape,
    indexToWorld: volume.indexToWorld,
    noData: NO_DATA,
    identity: { seriesUid: volume.identity.seriesUid },
    remarks: volume.remarks,
  })
}
