import type { VoxelArray } from '@alveometer/core'
import type { PixelLayout, SliceHeader } from '../headers/index.js'
import type { Rescale } from './rescale.js'

/** The pixels of one slice, row by row. */
export interface Frame {
  readonly pixels: Uint8Array | Uint16Array | Int16Array | Int32Array
  /** True for words as they lie in the file, before masking to Bits Stored; false for finished stored values. */
  readonly packed: boolean
}

/** Smallest and largest number that Bits Stored and Pixel Representation allow. */
export function storedRange({ bitsStored, signed }: PixelLayout): readonly [number, number] {
  const span = 2 ** bitsStored
  return signed ? [-span / 2, span / 2 - 1] : [0, span - 1]
}

/** What a slice came to: how many voxels are padding, and the range of the others. */
export interface SliceRange {
  readonly padded: number
  readonly minimum: number
  readonly maximum: number
}

/**
 * Stored words to grey values: masked by Bits Stored and High Bit, sign-extended by Pixel Representation, padding
 * recognised before the rescale. A codec may disagree with Pixel Representation about the sign; the header is right,
 * and masking mends it. Whole numbers written to an array too small for them wrap; the range tells.
 * @param out one number per pixel.
 * @param noData what is written for padding.
 * @returns what the slice came to; where the words are the grey values and nothing is padding, they are not looked at.
 */
export function greyOf(
  { pixels, packed }: Frame,
  { layout, padding }: Pick<SliceHeader, 'layout' | 'padding'>,
  { slope, intercept }: Rescale,
  out: VoxelArray | Float64Array,
  noData = Number.NaN,
): SliceRange | 'not looked at' {
  const [low, high] = storedRange(layout)
  // Some writers declare a padding value that does not fit in Bits Stored and write it as a whole word.
  if (packed && padding !== null && (padding[0] < low || padding[1] > high)) {
    const frame = { pixels: markPadding(pixels, layout, padding), packed: false }
    const marked = { ...layout, bitsStored: 32, signed: true }
    return computed(frame, { layout: marked, padding: [MARK, MARK] }, { slope, intercept }, out, noData)
  }
  const words = wordsOf(pixels, packed)
  const whole = Number.isInteger(slope) && Number.isInteger(intercept)
  if (words === null || !whole || !(out instanceof Int16Array))
    return computed({ pixels, packed }, { layout, padding }, { slope, intercept }, out, noData)
  if (isAsStored({ layout, padding }, { slope, intercept })) return copied(words, out)
  const fits = [low, high].every((stored) => Math.abs(stored + intercept) <= 0x7fff)
  if (slope === 1 && fits && padding === null && (!packed || layout.highBit === layout.bitsStored - 1))
    return shifted(words, layout, intercept, out)
  return throughTable(words, tableOf({ layout, padding, slope, intercept, packed }), out, noData)
}

/** Whether the words of the file are the grey values. */
export const isAsStored = (
  { layout, padding }: Pick<SliceHeader, 'layout' | 'padding'>,
  { slope, intercept }: Rescale,
): boolean => slope === 1 && intercept === 0 && padding === null && layout.signed && layout.bitsStored === 16

/** The pixels as unsigned words of 16 bits, where they are such words. */
function wordsOf(pixels: Frame['pixels'], packed: boolean): Uint16Array | null {
  if (pixels instanceof Uint16Array) return pixels
  if (packed || !(pixels instanceof Int16Array)) return null
  return new Uint16Array(pixels.buffer, pixels.byteOffset, pixels.length)
}

/** Most scans: the words are the grey values. */
function copied(words: Uint16Array, out: Int16Array): 'not looked at' {
  // Pixels may have been read straight into their place.
  if (words.buffer !== out.buffer) out.set(words)
  return 'not looked at'
}

/** Words with an intercept and nothing else, whose every value has room. */
function shifted(
  words: Uint16Array,
  { bitsStored, signed }: PixelLayout,
  intercept: number,
  out: Int16Array,
): 'not looked at' {
  const mask = 2 ** bitsStored - 1
  const sign = signed ? 1 << (bitsStored - 1) : 0
  const shift = intercept - sign
  for (let i = 0; i < out.length; i++) out[i] = (((words[i] as number) & mask) ^ sign) + shift
  return 'not looked at'
}

/** Outside every grey value of 16 bits that a table holds. */
const PADDED = 0x7fffffff

function throughTable(words: Uint16Array, table: Int32Array, out: Int16Array, noData: number): SliceRange {
  let minimum = 0x7ffffffe
  let maximum = -0x7fffffff
  let padded = 0
  for (let i = 0; i < out.length; i++) {
    const value = table[words[i] as number] as number
    if (value === PADDED) {
      out[i] = noData
      padded++
      continue
    }
    out[i] = value
    if (value < minimum) minimum = value
    if (value > maximum) maximum = value
  }
  return padded === out.length ? { padded, ...NOTHING } : { padded, minimum, maximum }
}

const NOTHING = { minimum: Number.POSITIVE_INFINITY, maximum: Number.NEGATIVE_INFINITY }

interface Mapping extends Rescale, Pick<SliceHeader, 'layout' | 'padding'> {
  readonly packed: boolean
}

/** The slices of a scan nearly always share one mapping. */
let lastTable: { readonly key: string; readonly table: Int32Array } | null = null

/** The grey value of each word, `PADDED` for padding. */
function tableOf(mapping: Mapping): Int32Array {
  const { bitsAllocated, bitsStored, highBit, signed } = mapping.layout
  const { padding, slope, intercept, packed } = mapping
  const key = [bitsAllocated, bitsStored, highBit, signed, padding, slope, intercept, packed].join()
  if (lastTable?.key === key) return lastTable.table
  const pixels = Uint16Array.from({ length: 65536 }, (_, word) => word)
  const grey = new Float64Array(65536)
  computed({ pixels, packed }, mapping, mapping, grey, PADDED)
  // What leaves 32 bits leaves 16 as well; the range must only show it.
  const table = Int32Array.from(grey, (value) =>
    value === PADDED ? PADDED : Math.min(PADDED - 1, Math.max(-PADDED, value)),
  )
  lastTable = { key, table }
  return table
}

/** Any pixels into any array. */
function computed(
  { pixels, packed }: Frame,
  { layout, padding }: Pick<SliceHeader, 'layout' | 'padding'>,
  { slope, intercept }: Rescale,
  out: VoxelArray | Float64Array,
  noData: number,
): SliceRange {
  const { signed, bitsStored, highBit } = layout
  // Shifting the top bit of the stored value up to bit 31 and all down again masks; flipping the sign bit and taking it
  // off extends the sign. All of it in 32 bit whole numbers, which is what makes the loop quick.
  const left = packed ? 31 - highBit : 32 - bitsStored
  const right = 32 - bitsStored
  const sign = signed ? 1 << (bitsStored - 1) : 0
  // Without padding an empty range, so that one loop serves both.
  const [from, to] = padding ?? [1, 0]
  let minimum = 0x7fffffff
  let maximum = -0x7fffffff
  let padded = 0
  const count = out.length
  for (let i = 0; i < count; i++) {
    const stored = (((((pixels[i] as number) << left) >>> right) ^ sign) - sign) | 0
    if (stored >= from && stored <= to) {
      out[i] = noData
      padded++
      continue
    }
    if (stored < minimum) minimum = stored
    if (stored > maximum) maximum = stored
    out[i] = stored * slope + intercept
  }
  if (padded === out.length) return { padded, ...NOTHING }
  const ends = [minimum * slope + intercept, maximum * slope + intercept] as const
  return { padded, minimum: Math.min(...ends), maximum: Math.max(...ends) }
}

/** Stands for padding among stored values of at most 16 bits. */
const MARK = 2 ** 30

/** Stored values, with the mark wherever the whole word, spare bits included, lies in the range of padding. */
function markPadding(
  words: Frame['pixels'],
  layout: PixelLayout,
  [from, to]: readonly [number, number],
): Int32Array {
  const { signed, bitsAllocated, bitsStored, highBit } = layout
  const value = (word: number, top: number, bits: number) => {
    const high = word << (31 - top)
    return signed ? high >> (32 - bits) : high >>> (32 - bits)
  }
  return Int32Array.from(words, (word) => {
    const whole = value(word, bitsAllocated - 1, bitsAllocated)
    return whole >= from && whole <= to ? MARK : value(word, highBit, bitsStored)
  })
}
