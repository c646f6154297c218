import { allCells, type CellSet, countInRow, without } from './cell-set.js'
import type { CoarseField } from './coarse.js'
import { labels, type Spaces } from './spaces.js'

/** What a space, and each of its cells, is. */
export const INSIDE = 0
export const OUTSIDE = 1
export const UNSCANNED = 2

/** Enclosed air counts as outside (nose, sinus) from this volume on. */
const LEAST_AIR_MM3 = 20

/**
 * What each space is, by its number: INSIDE, OUTSIDE or, where missing data hides it, UNSCANNED. Number 0 is INSIDE.
 * @param borderShare beside the space with the largest contact with the border, those with so much of it are outside.
 */
export function spaceKinds(
  field: CoarseField,
  spaces: Spaces,
  air: CellSet,
  borderShare: number,
): Uint8Array {
  const border = new Float64Array(spaces.count + 1)
  const airCells = new Float64Array(spaces.count + 1)
  const part = new Uint32Array(spaces.count + 1)
  const open = borderCells(field)
  const { rowStart, from, to, space, shape } = spaces
  for (let row = 0; row + 1 < rowStart.length; row++)
    for (let n = rowStart[row]; n < rowStart[row + 1]; n++) {
      const s = space[n]
      border[s] = border[s] + borderOfRun(spaces, n, row, open)
      airCells[s] = airCells[s] + countInRow(air, row, from[n], to[n])
      if (field.gaps !== undefined) part[s] = field.gaps.part[row * shape[0] + from[n]]
    }
  const most = new Map<number, number>()
  for (let s = 1; s <= spaces.count; s++) most.set(part[s], Math.max(most.get(part[s]) ?? 0, border[s]))
  const [cx, cy, cz] = field.cellMm
  const kinds = Uint8Array.from(border, (cells, s) => {
    const greatest = most.get(part[s]) ?? 0
    const atBorder = greatest > 0 && cells >= borderShare * greatest
    return s > 0 && (atBorder || airCells[s] * cx * cy * cz >= LEAST_AIR_MM3) ? OUTSIDE : INSIDE
  })
  for (const hidden of hiddenSpaces(field, spaces, kinds)) kinds[hidden] = UNSCANNED
  return kinds
}

/** Cells that were never scanned and lie round the scan, not in a gap of it; null when there are none. */
function borderCells({ scanned, shape, gaps }: CoarseField): CellSet | null {
  if (scanned === undefined) return null
  const missing = without(allCells(shape), scanned)
  return gaps === undefined ? missing : without(missing, gaps.between)
}

/** Cells of a run at the rim of the grid, and faces it has in common with cells that were never scanned. */
function borderOfRun({ shape, from, to }: Spaces, run: number, row: number, open: CellSet | null): number {
  const [nx, ny, nz] = shape
  const first = from[run]
  const end = to[run]
  const j = row % ny
  const k = Math.floor(row / ny)
  const rows = [
    j > 0 ? row - 1 : -1,
    j < ny - 1 ? row + 1 : -1,
    k > 0 ? row - ny : -1,
    k < nz - 1 ? row + ny : -1,
  ]
  let sum = rows.includes(-1) ? end - first : (first === 0 ? 1 : 0) + (end === nx ? 1 : 0)
  if (open === null) return sum
  for (const other of rows) if (other >= 0) sum += countInRow(open, other, first, end)
  if (first > 0) sum += countInRow(open, row, first - 1, first)
  if (end < nx) sum += countInRow(open, row, end, end + 1)
  return sum
}

/**
 * Spaces judged enclosed, most of whose cells beside a gap face the outside across it: the outside going on, or marrow
 * whose wall lies in the gap. Which of the two was not scanned.
 */
function hiddenSpaces({ shape, gaps }: CoarseField, spaces: Spaces, kinds: Uint8Array): number[] {
  if (gaps === undefined) return []
  const label = labels(spaces)
  const [nx, ny, nz] = shape
  const steps = [-1, 1, -nx, nx, -nx * ny, nx * ny]
  const facing = new Uint32Array(kinds.length)
  const facingOutside = new Uint32Array(kinds.length)
  for (let n = 0; n < label.length; n++) {
    const space = label[n]
    if (space === 0 || kinds[space] !== INSIDE) continue
    for (let side = 0; side < 6; side++) {
      let m = n
      while (staysInside(m, side, nx, ny, nz) && gaps.part[m + steps[side]] === 0) m += steps[side]
      if (m === n || !staysInside(m, side, nx, ny, nz)) continue
      facing[space]++
      if (kinds[label[m + steps[side]]] === OUTSIDE) facingOutside[space]++
    }
  }
  return [...facing.keys()].filter((space) => facing[space] > 0 && 2 * facingOutside[space] >= facing[space])
}

/** Whether a cell has a neighbour on a side: 0 and 1 along x, 2 and 3 along y, 4 and 5 along z. */
function staysInside(n: number, side: number, nx: number, ny: number, nz: number): boolean {
  const at = side < 2 ? n % nx : side < 4 ? Math.floor(n / nx) % ny : Math.floor(n / (nx * ny))
  const count = side < 2 ? nx : side < 4 ? ny : nz
  return side % 2 === 0 ? at > 0 : at < count - 1
}
