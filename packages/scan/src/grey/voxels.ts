import type { VoxelArray } from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { type SliceRange, storedRange } from './frame.js'
import { rescaleOf } from './rescale.js'

type Kind = 'int16' | 'uint16' | 'float32'

// Per kind: the values that voxels may take, and the number outside them that stands for "no data".
const KINDS = {
  int16: { make: (n: number): VoxelArray => new Int16Array(n), low: -32767, high: 32767, noData: -32768 },
  uint16: { make: (n: number): VoxelArray => new Uint16Array(n), low: 0, high: 65534, noData: 65535 },
  float32: {
    make: (n: number): VoxelArray => new Float32Array(n),
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
  private lowest = Number.POSITIVE_INFINITY
  private highest = Number.NEGATIVE_INFINITY

  constructor(headers: readonly SliceHeader[], count: number) {
    const rescales = headers.map(rescaleOf)
    this.whole = rescales.every(
      ({ slope, intercept }) => Number.isInteger(slope) && Number.isInteger(intercept),
    )
    const ends = headers.flatMap((h) => {
      const { slope, intercept } = rescaleOf(h)
      return storedRange(h.layout).map((stored) => stored * slope + intercept)
    })
    this.kind = this.choose(smallest(ends), largest(ends)) ?? 'int16'
    if (!this.whole) this.kind = 'float32'
    this.array = KINDS[this.kind].make(count)
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
  put(offset: number, count: number, fill: (out: VoxelArray, noData: number) => SliceRange): number {
    const { padded, minimum, maximum } = fill(this.array.subarray(offset, offset + count), this.noData)
    this.lowest = Math.min(this.lowest, minimum)
    this.highest = Math.max(this.highest, maximum)
    const { low, high } = KINDS[this.kind]
    if (this.lowest < low || this.highest > high) {
      this.widen()
      fill(this.array.subarray(offset, offset + count), this.noData)
    }
    return padded
  }

  /** Turns the pixels of a mask into "no data" in every slice and returns how many voxels that are. */
  clear(mask: Uint8Array, slices: number): number {
    let cleared = 0
    for (let p = 0; p < mask.length; p++) {
      if (!mask[p]) continue
      for (let k = 0; k < slices; k++) this.array[k * mask.length + p] = this.noData
      cleared += slices
    }
    return cleared
  }

  private widen(): void {
    const before = this.noData
    const old = this.array
    this.kind = this.choose(this.lowest, this.highest) ?? 'float32'
    const { make, noData } = KINDS[this.kind]
    this.array = make(old.length)
    for (let i = 0; i < old.length; i++) this.array[i] = old[i] === before ? noData : (old[i] as number)
  }

  private choose(minimum: number, maximum: number): Kind | null {
    const fits = (kind: Kind) => minimum >= KINDS[kind].low && maximum <= KINDS[kind].high
    if (!this.whole) return 'float32'
    return fits('int16') ? 'int16' : fits('uint16') ? 'uint16' : null
  }
}

const smallest = (values: readonly number[]) =>
  values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
const largest = (values: readonly number[]) =>
  values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
