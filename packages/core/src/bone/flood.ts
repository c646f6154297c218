import {
  allCells,
  type CellSet,
  cellsAtLeast,
  intersection,
  noCells,
  union,
  without,
  withoutRim,
} from './cell-set.js'
import type { CoarseField } from './coarse.js'
import { grown, withNeighbours } from './grow.js'
import type { MaskedCells } from './masks.js'
import { OUTSIDE, spaceKinds, UNSCANNED } from './space-kinds.js'
import { cellsOfSpaces, connectedSpaces } from './spaces.js'

export interface FloodGreys {
  /** Blurred grey at or above this is bone. */
  readonly boneGrey: number
  /** Blurred grey below this is air; no air is looked for when absent. */
  readonly airGrey?: number
}

/** What a flood meets. */
export interface Ground {
  readonly bone: CellSet
  readonly air: CellSet
  /** What is neither bone nor a way through, as a neighbouring tooth. */
  readonly masked: MaskedCells
  /** Bone and what is masked. */
  readonly solid: CellSet
}

export function groundOf(field: CoarseField, { boneGrey, airGrey }: FloodGreys, masked: MaskedCells): Ground {
  const { values, shape, scanned = allCells(shape) } = field
  const notBelow = (grey: number) => cellsAtLeast(values, shape, grey)
  const bone = without(notBelow(boneGrey), masked.cells)
  const air = airGrey === undefined ? noCells(shape) : without(scanned, notBelow(airGrey))
  return { bone, air, masked, solid: union(bone, masked.cells) }
}

export interface Flood {
  /** Cells outside of what is solid, up to its edge. */
  readonly outside: CellSet
  /** Cells of which missing data hides whether they are. */
  readonly hidden: CellSet
  /** Cells of the outside that touch one of the inside, without what the blur of masks reaches and the grid's outermost. */
  readonly surface: CellSet
}

/** Marrow that the border of the scan cuts has far less of it. */
const BORDER_SHARE = 0.3

/**
 * The outside of what is solid, found by flooding: cells at least `closingMm` from it that hang together with the volume
 * border (or hold air), then grown back to it. Data that is missing between scanned places parts the scan: nothing
 * is flooded or grown across it, and it is no border.
 * @param borderShare see spaceKinds.
 */
export function flood(
  field: CoarseField,
  { solid, masked, air }: Ground,
  closingMm: number,
  borderShare = BORDER_SHARE,
): Flood {
  const { shape, cellMm, gaps, scanned = allCells(shape) } = field
  const within = gaps === undefined ? undefined : scanned
  const free = without(scanned, solid)
  const spaces = connectedSpaces(without(scanned, grown(solid, closingMm, cellMm, within)))
  const kinds = spaceKinds(field, spaces, air, borderShare)
  const grownBack = (kind: number) => {
    const core = cellsOfSpaces(spaces, (space) => kinds[space] === kind)
    return intersection(grown(core, closingMm + Math.max(...cellMm) / 2, cellMm, within), free)
  }
  const outside = grownBack(OUTSIDE)
  const hidden = gaps === undefined ? noCells(shape) : without(grownBack(UNSCANNED), outside)
  const inside = without(without(scanned, masked.cells), union(outside, hidden))
  const surface = without(intersection(outside, withNeighbours(inside)), masked.blurred)
  return { outside, hidden, surface: withoutRim(surface) }
}
