import type { Vec3 } from '../space/index.js'
import { type CellSet, intersection } from './cell-set.js'

/**
 * The cells and every cell within a distance of one of them, centre to centre. With `within` nothing grows across what
 * lies outside of it: a cell must also be reached from face to face inside.
 */
export function grown(set: CellSet, radiusMm: number, cellMm: Vec3, within?: CellSet): CellSet {
  const out: CellSet = { ...set, words: set.words.slice() }
  const rows = rowsOfBall(radiusMm, cellMm)
  let wide = set
  for (let reach = 0; rows.some((row) => row.reach >= reach); reach++) {
    if (reach > 0) wide = widened(wide)
    for (const row of rows) if (row.reach === reach) addMoved(out, wide, row.dj, row.dk)
  }
  if (within === undefined) return out
  const steps = Math.max(...rows.map(({ dj, dk, reach }) => Math.abs(dj) + Math.abs(dk) + reach))
  let reached = intersection(set, within)
  for (let n = 0; n < steps; n++) reached = intersection(withNeighbours(reached), within)
  return intersection(out, reached)
}

/** The cells and those that share a face with one of them. */
export function withNeighbours(set: CellSet): CellSet {
  const out = widened(set)
  for (const d of [-1, 1]) {
    addMoved(out, set, d, 0)
    addMoved(out, set, 0, d)
  }
  return out
}

/** A row of a ball of cells: where it lies, and how far it reaches to either side along x. */
interface BallRow {
  readonly dj: number
  readonly dk: number
  readonly reach: number
}

function rowsOfBall(distanceMm: number, cellMm: Vec3): BallRow[] {
  // Rounding must not leave out the cells that lie just as far away.
  const radiusMm = distanceMm * (1 + 1e-9)
  const [, rj, rk] = cellMm.map((c) => Math.floor(radiusMm / c))
  const rows: BallRow[] = []
  for (let dk = -rk; dk <= rk; dk++)
    for (let dj = -rj; dj <= rj; dj++) {
      const left = radiusMm ** 2 - (dj * cellMm[1]) ** 2 - (dk * cellMm[2]) ** 2
      if (left >= 0) rows.push({ dj, dk, reach: Math.floor(Math.sqrt(left) / cellMm[0]) })
    }
  return rows
}

/** Grown by one cell to either side along x. */
function widened(set: CellSet): CellSet {
  const { words, shape, rowWords } = set
  const out = new Int32Array(words.length)
  const ends = -1 >>> (32 * rowWords - shape[0])
  for (let row = 0; row < words.length; row += rowWords) {
    let before = 0
    let here = words[row]
    for (let n = row; n < row + rowWords; n++) {
      const last = n === row + rowWords - 1
      const after = last ? 0 : words[n + 1]
      const bits = here | (here << 1) | (before >>> 31) | (here >>> 1) | (after << 31)
      out[n] = last ? bits & ends : bits
      before = here
      here = after
    }
  }
  return { ...set, words: out }
}

/** Adds the cells of a set moved by whole cells along y and z. */
function addMoved(to: CellSet, from: CellSet, dj: number, dk: number): void {
  const [, ny, nz] = to.shape
  const target = to.words
  const source = from.words
  const plane = ny * to.rowWords
  const back = dj * to.rowWords + dk * plane
  for (let k = Math.max(0, dk); k < nz + Math.min(0, dk); k++) {
    const first = k * plane + Math.max(0, dj) * to.rowWords
    const end = (k + 1) * plane + Math.min(0, dj) * to.rowWords
    for (let n = first; n < end; n++) target[n] |= source[n - back]
  }
}
