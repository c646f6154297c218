import type { VoxelArray } from '@alveometer/core'
import { type ComponentType, isFloat, type StoredArray } from './component.js'
import type { GreyScale } from './header.js'

type Kind = 'int16' | 'uint16' | 'float32'

/** So many voxels are converted at once: copies between arrays of one type each are what engines do quickly. */
const CHUNK = 2 ** 16

/** Per kind: the values that voxels may take beside a number for "no data", and that number. */
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
 * The grey values of a volume while it fills, block by block. They are kept as whole 16 bit numbers as long as every
 * one is whole and fits, else in single precision. What is no finite number counts as "no data".
 */
export class GreyArray {
  private kind: Kind
  private array: VoxelArray
  private readonly type: ComponentType
  private readonly scale: GreyScale
  private lowest = Number.POSITIVE_INFINITY
  private highest = Number.NEGATIVE_INFINITY
  private whole = true
  private gapCount = 0
  private readonly chunk = new Float64Array(CHUNK)

  /** @throws RangeError when there is no room for so many */
  constructor(type: ComponentType, scale: GreyScale, count: number) {
    this.type = type
    this.scale = scale
    this.kind = type === 'uint16' ? 'uint16' : 'int16'
    this.array = KINDS[this.kind].make(count)
  }

  get data(): VoxelArray {
    return this.array
  }

  /** Least and greatest grey value; the least above the greatest where no voxel has one. */
  get range(): readonly [number, number] {
    return [this.lowest, this.highest]
  }

  /** How many voxels are no data. */
  get gaps(): number {
    return this.gapCount
  }

  get noData(): number {
    return KINDS[this.kind].noData
  }

  /** Takes the stored numbers of the next block, from the voxel `at` on. */
  put(stored: StoredArray, at: number): void {
    for (let from = 0; from < stored.length; from += CHUNK) this.survey(this.greysOf(stored, from))
    if (!this.fits(this.kind)) this.widen()
    const { array, noData } = this
    for (let from = 0; from < stored.length; from += CHUNK) {
      const greys = this.greysOf(stored, from)
      if (isFloat(this.type)) replaceGaps(greys, noData)
      array.set(greys, at + from)
    }
  }

  /** The next grey values, in an array that the next call writes again. */
  private greysOf(stored: StoredArray, from: number): Float64Array {
    const part = stored.subarray(from, from + CHUNK)
    const greys = this.chunk.subarray(0, part.length)
    if (part instanceof BigInt64Array || part instanceof BigUint64Array)
      for (let i = 0; i < part.length; i++) greys[i] = Number(part[i])
    else greys.set(part)
    const { slope, intercept } = this.scale
    if (slope !== 1 || intercept !== 0)
      for (let i = 0; i < greys.length; i++) greys[i] = greys[i] * slope + intercept
    return greys
  }

  private survey(greys: Float64Array): void {
    let { lowest, highest, whole, gapCount } = this
    for (let i = 0; i < greys.length; i++) {
      const grey = greys[i]
      if (!isGrey(grey)) {
        gapCount++
        continue
      }
      if (grey < lowest) lowest = grey
      if (grey > highest) highest = grey
      if (whole && grey !== Math.trunc(grey)) whole = false
    }
    this.lowest = lowest
    this.highest = highest
    this.whole = whole
    this.gapCount = gapCount
  }

  private fits(kind: Kind): boolean {
    if (kind === 'float32') return true
    // Whole numbers leave no gaps, so the number for "no data" is one like any other.
    const spare = isFloat(this.type) ? 0 : 1
    const low = KINDS[kind].low - (kind === 'int16' ? spare : 0)
    const high = KINDS[kind].high + (kind === 'uint16' ? spare : 0)
    return this.whole && (this.lowest > this.highest || (this.lowest >= low && this.highest <= high))
  }

  private widen(): void {
    const before = this.noData
    const old = this.array
    this.kind = (['int16', 'uint16'] as const).find((kind) => this.fits(kind)) ?? 'float32'
    const { make, noData } = KINDS[this.kind]
    this.array = make(old.length)
    const gaps = isFloat(this.type)
    for (let i = 0; i < old.length; i++) this.array[i] = gaps && old[i] === before ? noData : old[i]
  }
}

function replaceGaps(greys: Float64Array, noData: number): void {
  for (let i = 0; i < greys.length; i++) if (!isGrey(greys[i])) greys[i] = noData
}

const isGrey = (value: number) => value >= KINDS.float32.low && value <= KINDS.float32.high
