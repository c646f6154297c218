import type { Vec3 } from '../space/index.js'
import { allCells, type CellSet, countCells, paint, without } from './cell-set.js'
import type { CoarseField } from './coarse.js'
import { type Flood, flood, type Ground, groundOf } from './flood.js'
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
  /** Cells of the outside that touch one of the inside, the grid's outermost and those of masks left out. */
  readonly surface: CellSet
}

/** The outside, compared with one that narrow openings do not let in. */
export interface ExteriorMask extends OutsideMask {
  /**
   * 1 for cells that are OUTSIDE with the closing asked for, but not with twice as much: reached only through an
   * opening, or lying in a groove, narrower than four times the closing. A leak, or a true gap.
   */
  readonly narrow: Uint8Array
  /** Share of the surface that lies over 1 mm from all of the outside that is not narrow. */
  readonly narrowShare: number
  /** The share is so great that bone must be expected to leak. */
  readonly leaky: boolean
}

export interface ExteriorOptions {
  /** Blurred grey at or above this is bone. */
  readonly boneGrey: number
  /** Blurred grey below this is air: every connected space that holds 20 mm3 of it is outside. */
  readonly airGrey?: number
  /** What is neither bone nor a way through for the outside: a neighbouring tooth, a fixture already there. */
  readonly masks?: readonly BoneMask[]
  /** Openings narrower than twice this do not let the outside in; 0.4 mm, at least a cell. */
  readonly closingMm?: number
}

/** The outside of bone; see flood. */
export function outsideMask(field: CoarseField, options: ExteriorOptions): OutsideMask {
  const ground = groundOf(field, { ...options, masked: maskedCells(field, options.masks) })
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
  const ground = groundOf(field, { ...options, masked: maskedCells(field, options.masks) })
  const closingMm = closingOf(field, options)
  const found = flood(field, ground, closingMm)
  const open = flood(field, ground, 2 * closingMm, OPEN_BORDER_SHARE).outside
  const narrow = new Uint8Array(field.values.length)
  paint(without(found.outside, open), narrow, 1)
  const moved = without(found.surface, grown(open, MOVED_MM, field.cellMm))
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
  paint(masked, cells, OUTSIDE)
  return { cells, shape, step, surface: found.surface }
}
