import type { Vec3 } from '@alveometer/core'
import type { IndexBox, SizeOffer } from '@alveometer/scan'

/** What a part of a scan would be, loaded. */
export interface Part {
  readonly box: IndexBox
  readonly half: boolean
  readonly bytes: number
  readonly sizeMm: Vec3
  readonly voxelMm: Vec3
  /** Why it cannot be loaded: no box of enough voxels inside the scan, or more than fits. Null when it can. */
  readonly problem: 'no-box' | 'too-large' | null
}

const each = (f: (axis: 0 | 1 | 2) => number): Vec3 => [f(0), f(1), f(2)]

/** So many voxels a side are the least that is loaded. */
export const least = (half: boolean): number => (half ? 4 : 2)

/** The size of a part, by the size of the whole. */
export function partOf(offer: SizeOffer, box: IndexBox, half: boolean): Part {
  const { shape, spacingMm, neededBytes, budgetBytes } = offer
  const perVoxel = neededBytes / (shape[0] * shape[1] * shape[2])
  const count = each((n) => box.to[n] - box.from[n])
  const [x, y, z] = half ? each((n) => Math.floor(count[n] / 2)) : count
  const bytes = perVoxel * x * y * z
  const inside = ([0, 1, 2] as const).every(
    (n) =>
      Number.isInteger(box.from[n]) &&
      Number.isInteger(box.to[n]) &&
      box.from[n] >= 0 &&
      box.to[n] <= shape[n] &&
      count[n] >= least(half),
  )
  const problem = !inside ? 'no-box' : bytes > budgetBytes ? 'too-large' : null
  return {
    box,
    half,
    bytes,
    sizeMm: each((n) => count[n] * spacingMm[n]),
    voxelMm: each((n) => spacingMm[n] * (half ? 2 : 1)),
    problem,
  }
}

/** The box in the middle that just fits, its sides in the proportions of the whole. */
export function middlePart({ shape, neededBytes, budgetBytes }: SizeOffer): IndexBox {
  const share = Math.min(1, Math.cbrt(budgetBytes / neededBytes))
  const size = each((n) => Math.min(shape[n], Math.max(least(true), Math.floor(shape[n] * share))))
  const from = each((n) => Math.floor((shape[n] - size[n]) / 2))
  return { from, to: each((n) => from[n] + size[n]) }
}
