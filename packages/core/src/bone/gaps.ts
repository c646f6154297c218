import { addRun, type CellSet, countCells, noCells, without } from './cell-set.js'
import { connectedSpaces, labels, runsOf } from './spaces.js'

/** Data that is missing between scanned places, as slices that are not there are; not what lies round a round field. */
export interface Gaps {
  /** Cells without a value that have scanned cells on both sides along an axis. */
  readonly between: CellSet
  /** The connected part of the scan a cell belongs to, counted from 1; 0 for a cell without a value. */
  readonly part: Uint32Array
}

/** Null when nothing is missing between scanned cells. */
export function findGaps(scanned: CellSet): Gaps | null {
  const spanned = noCells(scanned.shape)
  spanRows(scanned, spanned)
  const [, ny, nz] = scanned.shape
  const row = scanned.rowWords
  const plane = row * ny
  for (let k = 0; k < nz; k++)
    for (let word = 0; word < row; word++) spanLine(scanned, spanned, k * plane + word, row, ny)
  for (let word = 0; word < plane; word++) spanLine(scanned, spanned, word, plane, nz)
  const between = without(spanned, scanned)
  return countCells(between) > 0 ? { between, part: labels(connectedSpaces(scanned)) } : null
}

/** Adds what lies between the first and the last scanned cell of each row along x. */
function spanRows(scanned: CellSet, spanned: CellSet): void {
  const { rowStart, from, to } = runsOf(scanned)
  for (let row = 0; row + 1 < rowStart.length; row++) {
    const first = rowStart[row]
    const last = rowStart[row + 1] - 1
    if (first < last) addRun(spanned, row, from[first], to[last])
  }
}

/** The same for 32 lines along y or z at once. */
function spanLine(scanned: CellSet, spanned: CellSet, start: number, stride: number, count: number): void {
  const before = new Int32Array(count)
  let seen = 0
  for (let n = 0, at = start; n < count; n++, at += stride) {
    before[n] = seen
    seen |= scanned.words[at]
  }
  seen = 0
  for (let n = count - 1, at = start + n * stride; n >= 0; n--, at -= stride) {
    spanned.words[at] |= before[n] & seen
    seen |= scanned.words[at]
  }
}
