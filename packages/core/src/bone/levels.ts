import { cellNumbers, countCells, intersection, without } from './cell-set.js'
import type { CoarseField } from './coarse.js'
import { type ExteriorMask, exteriorMask, type OutsideMask, outsideMask } from './exterior.js'
import { grown } from './grow.js'
import { type FoundLevels, searchLevels } from './level-search.js'
import type { BoneMask } from './masks.js'
import { greysFor } from './thresholds.js'

export { airThreshold, boneThreshold, LOW_SHARE } from './thresholds.js'

/** First estimates of the levels and the flood made with them. */
export interface TissueLevels extends FoundLevels {
  readonly exterior: OutsideMask
}

/** See searchLevels. */
export function tissueLevels(field: CoarseField, masks: readonly BoneMask[] = []): TissueLevels {
  const found = searchLevels(field, masks)
  const { softGrey, cortexGrey } = found
  const exterior = outsideMask(field, { ...greysFor(softGrey, cortexGrey), masks })
  return { ...found, exterior }
}

/** Thin bone that leaks is denser than this share. */
const LOWER_SHARE = 0.08

/** The outside of bone for given levels; where much of it is narrow, with a lower threshold if that makes it less. */
export function exteriorFor(
  field: CoarseField,
  softGrey: number,
  cortexGrey: number,
  masks: readonly BoneMask[] = [],
): ExteriorMask {
  const exterior = exteriorMask(field, { ...greysFor(softGrey, cortexGrey), masks })
  if (!exterior.leaky) return exterior
  const lower = exteriorMask(field, { ...greysFor(softGrey, cortexGrey, LOWER_SHARE), masks })
  return lower.narrowShare < exterior.narrowShare ? { ...lower, leaky: true } : exterior
}

/**
 * About so many cells of the surface, spread over all of it. Each is taken for its own number, so that what a scan holds
 * elsewhere has no say in it.
 */
export function surfaceCells({ surface }: OutsideMask, about = 2000): Uint32Array {
  const share = about / countCells(surface)
  return cellNumbers(surface).filter((n) => scattered(n) < share * 2 ** 32)
}

/** A number from 0 to 2^32 that looks drawn by lot: the last step of MurmurHash3 (Appleby 2011). */
function scattered(n: number): number {
  let h = Math.imul(n ^ (n >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return (h ^ (h >>> 16)) >>> 0
}

/**
 * Cells of soft tissue (or of what else lies round bone) at a distance from bone, and at least as far as `fromMm` from
 * air and masks; of every few cells one.
 */
export function softCells(
  { rough }: Pick<TissueLevels, 'rough'>,
  fine: CoarseField,
  fromMm: number,
  toMm: number,
): Uint32Array {
  const { field, ground, flood } = rough
  const { cellMm } = field
  const near = without(intersection(flood.outside, grown(ground.bone, toMm, cellMm)), ground.air)
  const clear = [ground.bone, ground.masked.cells, ground.air].reduce(
    (left, set) => without(left, grown(set, fromMm, cellMm)),
    near,
  )
  const [nx, ny] = field.shape
  return cellNumbers(clear).map((n) => {
    const [i, j, k] = [n % nx, Math.floor(n / nx) % ny, Math.floor(n / (nx * ny))].map((c, a) =>
      Math.round((c * field.step[a]) / fine.step[a]),
    )
    return i + fine.shape[0] * (j + fine.shape[1] * k)
  })
}
