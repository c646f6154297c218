import { type BoneModel, floorMm } from '../bone/index.js'

/** What no interval shown to people is narrower than. */
export interface ShownInterval {
  /** Half width, mm. */
  readonly floorMm: number
  /** The reason, in words. */
  readonly why: string
}

/** Half a voxel, at least 0.1 mm. */
export function shownInterval(model: BoneModel): ShownInterval {
  const floor = floorMm(model)
  const halfMm = Math.max(...model.volume.spacingMm) / 2
  const voxel = halfMm === floor ? `half a voxel of ${Number((2 * halfMm).toFixed(3))} mm, and ` : ''
  return {
    floorMm: floor,
    why: `At least \u00b1 ${floor.toFixed(2)} mm is shown: ${voxel}what phantoms cannot show, motion, scatter and metal.`,
  }
}

/** The half width that is shown for a measurement's own: the floor and it, added in squares, mm. */
export const shownMm = ({ floorMm }: ShownInterval, ownMm: number): number => Math.hypot(floorMm, ownMm)
