import {
  invert,
  type Mesh,
  toIndex,
  toWorld,
  transformDirection,
  type Vec3,
  type WorldPoint,
} from '../space/index.js'
import { type CellSet, cellsMarked, noCells } from './cell-set.js'
import type { CoarseField } from './coarse.js'
import { grown } from './grow.js'
import { cylinderSolid } from './masks-cylinder.js'
import { meshSolid } from './masks-mesh.js'
import type { CylinderMask, Solid } from './masks-solid.js'

/** What is not bone, whatever its grey: a closed mesh (a tooth, say) or a cylinder (a fixture already there), LPS mm. */
export type BoneMask = Mesh | CylinderMask

const known = new WeakMap<BoneMask, Solid>()

function solidOf(mask: BoneMask): Solid {
  const solid = known.get(mask) ?? ('triangles' in mask ? meshSolid(mask) : cylinderSolid(mask))
  known.set(mask, solid)
  return solid
}

/**
 * How far a ray runs until it first enters a mask: mm from the point along a unit direction (LPS mm), exact; 0 when it
 * begins inside of one, null when it meets none within range.
 * @throws RangeError when a mesh is open or wound inside out, or a cylinder has no length or radius.
 */
export function rayToMasks(
  masks: readonly BoneMask[],
): (point: WorldPoint, direction: Vec3, rangeMm: number) => number | null {
  const solids = masks.map(solidOf)
  return (point, direction, rangeMm) => {
    let nearest = Number.POSITIVE_INFINITY
    for (const solid of solids)
      for (const { enter, leave } of solid.spans(point, direction))
        if (leave >= 0 && enter < nearest) nearest = Math.max(0, enter)
    return nearest <= rangeMm ? nearest : null
  }
}

/** Rows of cells are moved by this share of a cell, so that none runs along edges of a mesh that lies on the grid. */
const ASIDE = 1e-6

/**
 * 1 for the cells of a field whose centres lie inside a mask, x fastest.
 * @throws RangeError as rayToMasks does.
 */
export function maskCells(
  masks: readonly BoneMask[],
  field: Pick<CoarseField, 'shape' | 'step' | 'indexToWorld'>,
): Uint8Array {
  const { shape, step, indexToWorld } = field
  const [nx, ny, nz] = shape
  const cells = new Uint8Array(nx * ny * nz)
  const along = transformDirection(indexToWorld, [step[0], 0, 0])
  for (const mask of masks) {
    const solid = solidOf(mask)
    const { low, high } = cellBox(solid, field)
    for (let k = Math.max(0, Math.ceil(low[2])); k <= Math.min(nz - 1, high[2]); k++)
      for (let j = Math.max(0, Math.ceil(low[1])); j <= Math.min(ny - 1, high[1]); j++) {
        const start = toWorld(indexToWorld, [0, (j + ASIDE) * step[1], (k + 2 * ASIDE) * step[2]])
        for (const { enter, leave } of solid.spans(start, along)) {
          const row = nx * (j + ny * k)
          const first = Math.max(0, Math.ceil(enter))
          const last = Math.min(nx - 1, Math.floor(leave))
          if (first <= last) cells.fill(1, row + first, row + last + 1)
        }
      }
  }
  return cells
}

export interface MaskedCells {
  readonly cells: CellSet
  /** The masks and what their blur reaches: no place to tell the grey of bone or gum. */
  readonly blurred: CellSet
}

/** Reach of the blur of scan and field beside a mask that may be metal. */
const BLUR_MM = 1

export function maskedCells(masks: readonly BoneMask[], field: CoarseField): MaskedCells {
  if (masks.length === 0) {
    const none = noCells(field.shape)
    return { cells: none, blurred: none }
  }
  const cells = cellsMarked(maskCells(masks, field), field.shape)
  return { cells, blurred: grown(cells, BLUR_MM, field.cellMm) }
}

/** The box round a solid in cells. */
function cellBox(
  { low, high }: Solid,
  { indexToWorld, step }: Pick<CoarseField, 'step' | 'indexToWorld'>,
): { low: Vec3; high: Vec3 } {
  const worldToIndex = invert(indexToWorld)
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((corner) => {
    const at = [0, 1, 2].map((a) => (((corner >> a) & 1) === 0 ? low[a] : high[a])) as unknown as Vec3
    return toIndex(worldToIndex, at).map((v, a) => v / step[a])
  })
  const extreme = (pick: (...v: number[]) => number) =>
    [0, 1, 2].map((a) => pick(...corners.map((c) => c[a]))) as unknown as Vec3
  return { low: extreme(Math.min), high: extreme(Math.max) }
}
