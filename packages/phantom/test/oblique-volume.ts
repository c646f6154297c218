import { createVolume, fromRows, type Volume } from '@alveometer/core'

/** Anisotropic voxels, oblique axes, one voxel without data. */
export function obliqueVolume(): Volume {
  const c = Math.cos(0.3)
  const s = Math.sin(0.3)
  const rows = [0.25 * c, -0.4 * s, 0, -3.1, 0.25 * s, 0.4 * c, 0, 7.7, 0, 0, 0.5, 12.3, 0, 0, 0, 1]
  const data = Int16Array.from({ length: 5 * 4 * 3 }, (_, n) => n * 37 - 900)
  data[7] = -32768
  return createVolume({ data, shape: [5, 4, 3], indexToWorld: fromRows(rows), noData: -32768 })
}
