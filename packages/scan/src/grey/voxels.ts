import type { VoxelArray } from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { type SliceRange, storedRange } from './frame.js'
import { rescaleOf } from './rescale.js'

type Kind = 'int16' | 'uint16' | 'float32'

// Per kind: the values that voxels may take, and the number outside them that stands for "no data".
const KINDS = {
  int16: {
    make: (n: number): VoxelArray => new Int16Array(n),
    bytes: 2,
    low: -32767,
    high: 32767,
    noData: -32768,
  },
  uint16: {
    make: (n: number): VoxelArray => new Uint16Array(n),
    bytes: 2,
    low: 0,
    high: 65534,
    noData: 65535,
  },
  float32: {
    make: (n: number): VoxelArray => new Float32Array(n),
    bytes: 4,
    low: -3e38,
    high: 3e38,
    noData: Math.fround(-3.4e38),
  },
} as const

/**
 * The one array of a volume while it fills. It starts as the smallest type that the headers allow and widens, keeping
 * what it holds, when a slice turns out not to fit. The number for "no data" is never a value a voxel can take.
 */
export class Voxels {
  private kind: Kind
  private array: VoxelArray
  private readonly whole: boolean
  private readonly fits: boolean
  /** Whether `lowest` and `highest` are those of all voxels. */
  private known = true
  private hasRoom = false
  private lowest = Number.POSITIVE_INFINITY
  private highest = Number.NEGATIVE_INFINITY

  constructor(headers: readonly SliceHeader[], count: number) {
    this.whole = isWhole(headers)
    this.fits = fittingKind(headers) !== null
    this.kind = kindOf(headers)
    this.array = KINDS[this.kind].make(count)
  }

  /** True when every value that the headers allow fits, so that the array will not be exchanged for a wider one. */
  get settled(): boolean {
    return this.fits
  }

  get data(): VoxelArray {
    return this.array
  }

  get noData(): number {
    return KINDS[this.kind].noData
  }

  /**
   * Lets `fill` write one slice of `count` voxels from `offset` on and tell its range; once more into the wider array
   * when the values turn out not to fit. Returns how many voxels are padding.
   */
  put(
    offset: number,
    count: number,
    fill: (out: VoxelArray, noData: number) => SliceRange | 'not looked at',
  ): number {
    const found = fill(this.array.subarray(offset, offset + count), this.noData)
    if (found === 'not looked at') {
      this.known = false
      return 0
    }
    const { padded, minimum, maximum } = found
    this.lowest = Math.min(this.lowest, minimum)
    this.highest = Math.max(this.highest, maximum)
    const { low, high } = KINDS[this.kind]
    if (this.lowest < low || this.highest > high) {
      this.widen()
      fill(this.array.subarray(offset, offset + count), this.noData)
    }
    return padded
  }

  /** Smallest and largest value, null when there is none or they were not looked for. */
  get range(): readonly [number, number] | null {
    if (!this.known || this.lowest > this.highest) return null
    return this.kind === 'float32'
      ? [Math.fround(this.lowest), Math.fround(this.highest)]
      : [this.lowest, this.highest]
  }

  /** Writes one slice of computed values, NaN for "no data", rounded where the array holds whole numbers. */
  putValues(offset: number, values: Float32Array): void {
    this.put(offset, values.length, (out, noData) => {
      let padded = 0
      let minimum = Number.POSITIVE_INFINITY
      let maximum = Number.NEGATIVE_INFINITY
      for (let i = 0; i < values.length; i++) {
        const exact = values[i] as number
        if (Number.isNaN(exact)) {
          out[i] = noData
          padded++
          continue
        }
        const value = this.whole ? Math.round(exact) : exact
        if (value < minimum) minimum = value
        if (value > maximum) maximum = value
        out[i] = value
      }
      return { padded, minimum, maximum }
    })
  }

  /** Makes voxels from `offset` on "no data". */
  blank(offset: number, count: number): void {
    this.makeRoomForNoData()
    this.array.fill(this.noData, offset, offset + count)
  }

  /** Turns the pixels of a mask into "no data" in every slice. */
  clear(mask: Uint8Array, slices: number): void {
    this.makeRoomForNoData()
    // What is cleared may have been the least or the greatest.
    this.known = false
    for (let k = 0; k < slices; k++) {
      const start = k * mask.length
      for (let p = 0; p < mask.length; p++) if (mask[p]) this.array[start + p] = this.noData
    }
  }

  /** Values that were not looked at may hold the one number that stands for "no data". */
  private makeRoomForNoData(): void {
    if (this.known || this.hasRoom) return
    this.hasRoom = true
    if (this.kind !== 'int16' || !this.array.includes(KINDS.int16.noData)) return
    this.array = Float32Array.from(this.array)
    this.kind = 'float32'
  }

  private widen(): void {
    const before = this.noData
    const old = this.array
    this.kind = choose(this.whole, this.lowest, this.highest) ?? 'float32'
    const { make, noData } = KINDS[this.kind]
    this.array = make(old.length)
    for (let i = 0; i < old.length; i++) this.array[i] = old[i] === before ? noData : (old[i] as number)
  }
}

/** Bytes of one voxel of these slices in memory, from the headers alone. */
export const bytesPerVoxel = (headers: readonly SliceHeader[]): number => KINDS[kindOf(headers)].bytes

const isWhole = (headers: readonly SliceHeader[]): boolean =>
  headers.every((h) => {
    const { slope, intercept } = rescaleOf(h)
    return Number.isInteger(slope) && Number.isInteger(intercept)
  })

/** The smallest type that every value the headers allow fits; 16 bit where only some may not, for they rarely occur. */
const kindOf = (headers: readonly SliceHeader[]): Kind =>
  fittingKind(headers) ?? (isWhole(headers) ? 'int16' : 'float32')

function fittingKind(headers: readonly SliceHeader[]): Kind | null {
  const ends = headers.flatMap((h) => {
    const { slope, intercept } = rescaleOf(h)
    return storedRange(h.layout).map((stored) => stored * slope + intercept)
  })
  return choose(isWhole(headers), smallest(ends), largest(ends))
}

function choose(whole: boolean, minimum: number, maximum: number): Kind | null {
  const fits = (kind: Kind) => minimum >= KINDS[kind].low && maximum <= KINDS[kind].high
  if (!whole) return 'float32'
  return fits('int16') ? 'int16' : fits('uint16') ? 'uint16' : null
}

const smallest = (values: readonly number[]) =>
  values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
const largest = (values: readonly number[]) =>
  values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
