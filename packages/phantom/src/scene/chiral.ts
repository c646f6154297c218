import { createVolume, fromRows, type Volume, type WorldPoint } from '@alveometer/core'
import type { Storage } from '../dicom/index.js'

/** Where the marks of the chiral phantom are: the common corner of their eight voxels, LPS mm, and their grey value. */
export const chiralMarks: readonly {
  readonly side: 'left' | 'anterior' | 'superior'
  readonly grey: number
  readonly world: WorldPoint
}[] = [
  { side: 'left', grey: 1500, world: [8.55, 4.65, 3.45] },
  { side: 'anterior', grey: 1600, world: [4.65, 0.75, 3.45] },
  { side: 'superior', grey: 1700, world: [4.65, 4.65, 6.15] },
]

/** Unsigned, 12 of 16 bits, intercept -1000: write the chiral phantom with this. */
export const chiralStorage: Storage = { signed: false, bitsStored: 12, intercept: -1000, padding: 4095 }

const size = { columns: 32, rows: 32, slices: 24, step: 0.3 }

/**
 * A small volume in which every flip, swap and shift of the axes shows: 32 x 32 x 24 voxels of 0.3 mm, first voxel at
 * (0, 0, 0) LPS mm. Grey: air -1000, disc 0, ring 1200, and three 2 x 2 x 2 marks (`chiralMarks`) at the patient's
 * left, front and top.
 */
export function chiralPhantom(): Volume {
  const { columns, rows, slices, step } = size
  const data = new Int16Array(columns * rows * slices)
  for (let k = 0; k < slices; k++)
    for (let j = 0; j < rows; j++)
      for (let i = 0; i < columns; i++) {
        const radius = Math.hypot(i - 15.5, j - 15.5)
        data[i + columns * (j + rows * k)] = radius > 11 ? -1000 : radius > 8 ? 1200 : 0
      }
  for (const mark of chiralMarks) {
    const [i, j, k] = mark.world.map((mm) => Math.floor(mm / step)) as [number, number, number]
    for (let corner = 0; corner < 8; corner++) {
      const at = i + (corner & 1) + columns * (j + ((corner >> 1) & 1) + rows * (k + (corner >> 2)))
      data[at] = mark.grey
    }
  }
  const indexToWorld = fromRows([step, 0, 0, 0, 0, step, 0, 0, 0, 0, step, 0, 0, 0, 0, 1])
  return createVolume({ data, shape: [columns, rows, slices], indexToWorld })
}
