import type { Vec3 } from '../space/index.js'
import { addRun, type CellSet, lowestBit, noCells } from './cell-set.js'

/** A set of cells as runs of neighbouring cells along x: run n takes the cells `from[n]` up to `to[n]` of its row. */
export interface Runs {
  readonly shape: Vec3
  /** The first run of every row (row j + ny k), and the number of all runs at the end. */
  readonly rowStart: Int32Array
  readonly from: Int32Array
  readonly to: Int32Array
}

/** The connected spaces of a set of cells, over faces, numbered from 1. */
export interface Spaces extends Runs {
  readonly count: number
  /** The space of every run. */
  readonly space: Int32Array
}

export function connectedSpaces(set: CellSet): Spaces {
  const { shape, rowStart, from, to } = runsOf(set)
  const parent = Int32Array.from(from, (_, n) => n)
  const link = (row: number, other: number) => {
    let a = rowStart[row]
    let b = rowStart[other]
    while (a < rowStart[row + 1] && b < rowStart[other + 1]) {
      if (from[a] < to[b] && from[b] < to[a]) unite(parent, a, b)
      if (to[a] < to[b]) a++
      else b++
    }
  }
  const [, ny, nz] = shape
  for (let row = 0; row < ny * nz; row++) {
    if (row % ny !== 0) link(row, row - 1)
    if (row >= ny) link(row, row - ny)
  }
  const space = new Int32Array(from.length)
  let count = 0
  // The root of a space is its first run, so it has its number before the others ask for it.
  for (let n = 0; n < space.length; n++) {
    const root = rootOf(parent, n)
    space[n] = root === n ? ++count : space[root]
  }
  return { count, shape, rowStart, from, to, space }
}

export function runsOf({ words, shape, rowWords }: CellSet): Runs {
  const rows = shape[1] * shape[2]
  const rowStart = new Int32Array(rows + 1)
  let from = new Int32Array(1024)
  let to = new Int32Array(1024)
  let count = 0
  for (let row = 0; row < rows; row++) {
    rowStart[row] = count
    // A row has no more runs than every other cell.
    if (count + 16 * rowWords > from.length) {
      from = doubled(from, 16 * rowWords)
      to = doubled(to, 16 * rowWords)
    }
    let inside = 0
    for (let word = 0; word < rowWords; word++) {
      const bits = words[row * rowWords + word]
      // The bits that differ from their forerunner: a run begins or ends there.
      for (let turns = bits ^ ((bits << 1) | inside); turns !== 0; turns &= turns - 1) {
        const at = 32 * word + lowestBit(turns)
        if (inside === 0) from[count] = at
        else to[count++] = at
        inside ^= 1
      }
    }
    if (inside === 1) to[count++] = shape[0]
  }
  rowStart[rows] = count
  return { shape, rowStart, from: from.slice(0, count), to: to.slice(0, count) }
}

function doubled(list: Int32Array, more: number): Int32Array<ArrayBuffer> {
  const out = new Int32Array(2 * list.length + more)
  out.set(list)
  return out
}

function rootOf(parent: Int32Array, n: number): number {
  let at = n
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]]
    at = parent[at]
  }
  return at
}

function unite(parent: Int32Array, a: number, b: number): void {
  const x = rootOf(parent, a)
  const y = rootOf(parent, b)
  if (x < y) parent[y] = x
  else parent[x] = y
}

/** The cells of the spaces that pass. */
export function cellsOfSpaces(spaces: Spaces, wanted: (space: number) => boolean): CellSet {
  const { rowStart, from, to, space, shape } = spaces
  const set = noCells(shape)
  for (let row = 0; row + 1 < rowStart.length; row++)
    for (let n = rowStart[row]; n < rowStart[row + 1]; n++)
      if (wanted(space[n])) addRun(set, row, from[n], to[n])
  return set
}

/** The number of the space of every cell; 0 for cells in none. */
export function labels({ rowStart, from, to, space, shape }: Spaces): Uint32Array {
  const label = new Uint32Array(shape[0] * shape[1] * shape[2])
  for (let row = 0; row + 1 < rowStart.length; row++)
    for (let n = rowStart[row]; n < rowStart[row + 1]; n++)
      label.fill(space[n], row * shape[0] + from[n], row * shape[0] + to[n])
  return label
}
