import type { Vec3 } from '../space/index.js'

/**
 * A set of cells of a grid, one bit each, so that 32 cells of a row are handled at once. x is fastest; every row begins
 * a new word; the spare bits of its last word are 0.
 */
export interface CellSet {
  readonly words: Int32Array
  readonly shape: Vec3
  readonly rowWords: number
}

export function noCells(shape: Vec3): CellSet {
  const rowWords = Math.ceil(shape[0] / 32)
  return { words: new Int32Array(rowWords * shape[1] * shape[2]), shape, rowWords }
}

export function allCells(shape: Vec3): CellSet {
  const set = noCells(shape)
  set.words.fill(-1)
  clearSpare(set)
  return set
}

const clearSpare = ({ words, shape, rowWords }: CellSet): void => {
  const spare = 32 * rowWords - shape[0]
  if (spare > 0) for (let n = rowWords - 1; n < words.length; n += rowWords) words[n] &= -1 >>> spare
}

export const hasCell = ({ words, shape, rowWords }: CellSet, i: number, j: number, k: number): boolean =>
  ((words[rowWords * (j + shape[1] * k) + (i >> 5)] >> (i & 31)) & 1) === 1

/** The cells whose value is at least a grey; those without a value are not. */
export function cellsAtLeast(values: Float32Array, shape: Vec3, grey: number): CellSet {
  const set = noCells(shape)
  const { words, rowWords } = set
  const nx = shape[0]
  let n = 0
  for (let row = 0; row < words.length; row += rowWords)
    for (let word = row, left = nx; left > 0; word++, left -= 32) {
      let bits = 0
      const count = Math.min(left, 32)
      for (let bit = 0; bit < count; bit++, n++) if (values[n] >= grey) bits |= 1 << bit
      words[word] = bits
    }
  return set
}

/** The cells marked 1, one byte a cell. */
export const cellsMarked = (marks: Uint8Array, shape: Vec3): CellSet =>
  cellsWhere(shape, (n) => marks[n] === 1)

export function cellsWhere(shape: Vec3, test: (cell: number) => boolean): CellSet {
  const set = noCells(shape)
  const nx = shape[0]
  let n = 0
  for (let row = 0; row < set.words.length; row += set.rowWords)
    for (let i = 0; i < nx; i++, n++) if (test(n)) set.words[row + (i >> 5)] |= 1 << (i & 31)
  return set
}

/** Writes a number to every cell of the set, one byte a cell. */
export function paint({ words, shape, rowWords }: CellSet, marks: Uint8Array, value: number): void {
  for (let row = 0, start = 0; row < words.length; row += rowWords, start += shape[0])
    for (let word = 0; word < rowWords; word++) {
      const bits = words[row + word]
      const at = start + 32 * word
      if (bits === -1) marks.fill(value, at, at + 32)
      else for (let rest = bits; rest !== 0; rest &= rest - 1) marks[at + lowestBit(rest)] = value
    }
}

/** The numbers of the cells, from low to high. */
export function cellNumbers(set: CellSet): Uint32Array {
  const { words, shape, rowWords } = set
  const found = new Uint32Array(countCells(set))
  let count = 0
  for (let row = 0, start = 0; row < words.length; row += rowWords, start += shape[0])
    for (let word = 0; word < rowWords; word++)
      for (let rest = words[row + word]; rest !== 0; rest &= rest - 1)
        found[count++] = start + 32 * word + lowestBit(rest)
  return found
}

export const lowestBit = (bits: number): number => 31 - Math.clz32(bits & -bits)

export function countCells({ words }: CellSet): number {
  let sum = 0
  for (let n = 0; n < words.length; n++) sum += bitCount(words[n])
  return sum
}

/** How many cells from `from` up to `to` of a row (all rows are numbered through) are in the set. */
export function countInRow({ words, rowWords }: CellSet, row: number, from: number, to: number): number {
  const first = from >> 5
  const last = (to - 1) >> 5
  let sum = 0
  for (let word = first; word <= last; word++) {
    let bits = words[row * rowWords + word]
    if (word === first) bits &= -1 << (from & 31)
    if (word === last) bits &= -1 >>> (31 - ((to - 1) & 31))
    sum += bitCount(bits)
  }
  return sum
}

/** Adds the cells from `from` up to `to` of a row. */
export function addRun({ words, rowWords }: CellSet, row: number, from: number, to: number): void {
  const first = from >> 5
  const last = (to - 1) >> 5
  for (let word = first; word <= last; word++) {
    let bits = -1
    if (word === first) bits &= -1 << (from & 31)
    if (word === last) bits &= -1 >>> (31 - ((to - 1) & 31))
    words[row * rowWords + word] |= bits
  }
}

/** Warren, Hacker's Delight (2012), 5-1. */
function bitCount(bits: number): number {
  const pairs = bits - ((bits >>> 1) & 0x55555555)
  const fours = (pairs & 0x33333333) + ((pairs >>> 2) & 0x33333333)
  return Math.imul((fours + (fours >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24
}

export function union(a: CellSet, b: CellSet): CellSet {
  const words = a.words.slice()
  for (let n = 0; n < words.length; n++) words[n] |= b.words[n]
  return { ...a, words }
}

export function intersection(a: CellSet, b: CellSet): CellSet {
  const words = a.words.slice()
  for (let n = 0; n < words.length; n++) words[n] &= b.words[n]
  return { ...a, words }
}

/** The cells of the first that are not in the second. */
export function without(a: CellSet, b: CellSet): CellSet {
  const words = a.words.slice()
  for (let n = 0; n < words.length; n++) words[n] &= ~b.words[n]
  return { ...a, words }
}

/** Without the outermost cells of the grid. */
export function withoutRim(set: CellSet): CellSet {
  const [nx, ny, nz] = set.shape
  const words = new Int32Array(set.words.length)
  for (let k = 1; k < nz - 1; k++)
    for (let j = 1; j < ny - 1; j++) {
      const row = set.rowWords * (j + ny * k)
      for (let word = row; word < row + set.rowWords; word++) words[word] = set.words[word]
      words[row] &= ~1
      words[row + ((nx - 1) >> 5)] &= ~(1 << ((nx - 1) & 31))
    }
  return { ...set, words }
}
