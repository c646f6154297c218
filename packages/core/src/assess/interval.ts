import { type BoneModel, UNCERTAINTY_FLOOR_MM } from '../bone/index.js'

/** What no interval shown to people is narrower than. */
export interface ShownInterval {
  /** Half width, mm. */
  readonly floorMm: number
  /** The reason, in words. */
  readonly why: string
}

/** Half a voxel, at least 0.1 mm. */
export function shownInterval({ volume }: Pick<BoneModel, 'volume'>): ShownInterval {
  const voxelMm = Math.max(...volume.spacingMm)
  const floorMm = Math.max(UNCERTAINTY_FLOOR_MM, voxelMm / 2)
  const half = voxelMm / 2 > UNCERTAINTY_FLOOR_MM ? ` (half a voxel of ${Number(voxelMm.toFixed(3))} mm)` : ''
  return {
    floorMm,
    why: `At least \u00b1 ${floorMm.toFixed(2)} mm is shown${half}: what phantoms cannot show remains, motion, scatter and metal.`,
  }
}
