import type { Vec3 } from '../space/index.js'
import { allCells, type CellSet, countCells, intersection, paint, without } from './cell-set.js'
import type { CoarseField } from './coarse.js'
import { type Flood, type FloodGreys, flood, type Ground, groundOf } from './flood.js'
import { grown } from './grow.js'
import { type BoneMask, maskedCells } from './masks.js'
import { OUTSIDE, UNSCANNED } from './space-kinds.js'

export { INSIDE, OUTSIDE, UNSCANNED } from './space-kinds.js'

/** Which cells of the coarse grid lie outside bone. Marrow and voids enclosed by bone are inside. */
export interface OutsideMask {
  /** INSIDE, OUTSIDE or UNSCANNED; cells of masks are OUTSIDE whatever their grey. */
  readonly cells: Uint8Array
  readonly shape: Vec3
  readonly step: Vec3
  /** See Flood. */
  readonly surface: CellSet
}

/** The outside, compared with one that narrow openings do not let in. */
export interface ExteriorMask extends OutsideMask {
  /**
   * 1 for cells that are OUTSIDE with the closing asked for, but not with twice as much: reached only through an
   * opening, or lying in a groove, narrower than four times the closing. A leak, or a true gap.
   */
  readonly narrow: Uint8Array
  /** Share of the surface from which it is over 1 mm through the outside to a place that is not narrow. */
  readonly narrowShare: number
  /** The share is so great that bone must be expected to leak. */
  readonly leaky: boolean
}

export interface ExteriorOptions extends FloodGreys {
  /** What is neither bone nor a way through for the outside: a neighbouring tooth, a fixture already there. */
  readonly masks?: readonly BoneMask[]
  /** Openings narrower than twice this do not let the outside in; 0.4 mm, at least a cell. */
  readonly closingMm?: number
}

/** The outside of bone; see flood. */
export function outsideMask(field: CoarseField, options: ExteriorOptions): OutsideMask {
  const ground = groundOf(field, options, maskedCells(options.masks ?? [], field))
  return maskOf(field, ground, flood(field, ground, closingOf(field, options)))
}

/**
 * With twice the closing fewer ways lead round, so parts of the outside may hang together no more. The cavity of a
 * skull has 9 % of the contact with the border, marrow cut by the border of a jaw scan less than 4 %.
 */
const OPEN_BORDER_SHARE = 0.06
/** A surface cell that moves by more than this shows a leak or a deep groove. */
const MOVED_MM = 1
const LEAKY_SHARE = 0.05

/** The outside of bone, with a second flood of twice the closing that shows what came through narrow openings. */
export function exteriorMask(field: CoarseField, options: ExteriorOptions): ExteriorMask {
  const ground = groundOf(field, options, maskedCells(options.masks ?? [], field))
  const closingMm = closingOf(field, options)
  const found = flood(field, ground, closingMm)
  const open = flood(field, ground, 2 * closingMm, OPEN_BORDER_SHARE).outside
  const narrow = new Uint8Array(field.values.length)
  paint(without(found.outside, open), narrow, 1)
  // Not through bone: a leaking plate is thinner than that.
  const near = grown(intersection(open, found.outside), MOVED_MM, field.cellMm, found.outside)
  const moved = without(found.surface, near)
  const narrowShare = countCells(moved) / Math.max(1, countCells(found.surface))
  return { ...maskOf(field, ground, found), narrow, narrowShare, leaky: narrowShare > LEAKY_SHARE }
}

const closingOf = (field: CoarseField, { closingMm }: ExteriorOptions): number =>
  closingMm ?? usualClosingMm(field)

export const usualClosingMm = ({ cellMm: [x, y, z] }: CoarseField): number =>
  Math.max(0.4, Math.cbrt(x * y * z))

function maskOf(
  { values, shape, step, scanned }: CoarseField,
  { masked }: Ground,
  found: Flood,
): OutsideMask {
  const cells = new Uint8Array(values.length)
  paint(found.hidden, cells, UNSCANNED)
  paint(found.outside, cells, OUTSIDE)
  if (scanned !== undefined) paint(without(allCells(shape), scanned), cells, UNSCANNED)
  paint(masked.cells, cells, OUTSIDE)
  return { cells, shape, step, surface: found.surface }
}
