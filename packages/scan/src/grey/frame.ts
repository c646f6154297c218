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

/** The table of the slice before: slices of a series mostly share it. */
export interface TableMemory {
  key?: string
  table?: Float64Array
}

/**
 * Stored words to grey values: masked by Bits Stored and High Bit, sign-extended by Pixel Representation, padding
 * recognised before the rescale and written as NaN. A codec may disagree with Pixel Representation about the sign;
 * the header is right, and masking mends it.
 * @param out one number per pixel.
 */
export function greyOf(
  { pixels, packed }: Frame,
  { layout, padding }: Pick<SliceHeader, 'layout' | 'padding'>,
  rescale: Rescale,
  out: Float64Array,
  memory: TableMemory = {},
): SliceRange {
  const key = JSON.stringify([packed, layout, padding, rescale])
  if (!memory.table || memory.key !== key) {
    memory.key = key
    memory.table = greyTable(packed, layout, padding, rescale)
  }
  const { table } = memory
  const last = table.length - 1
  let minimum = Number.POSITIVE_INFINITY
  let maximum = Number.NEGATIVE_INFINITY
  for (let i = 0; i < out.length; i++) {
    // Comparing with NaN is false, so padding does not count.
    const grey = table[(pixels[i] as number) & last] as number
    if (grey < minimum) minimum = grey
    if (grey > maximum) maximum = grey
    out[i] = grey
  }
  let padded = 0
  if (padding) for (let i = 0; i < out.length; i++) if (Number.isNaN(out[i] as number)) padded++
  return { padded, minimum, maximum }
}

/** The grey value of every word that Bits Allocated can hold. */
function greyTable(
  packed: boolean,
  layout: PixelLayout,
  padding: SliceHeader['padding'],
  { slope, intercept }: Rescale,
): Float64Array {
  const [low, high] = storedRange(layout)
  const shift = packed ? layout.highBit + 1 - layout.bitsStored : 0
  const span = 2 ** layout.bitsStored
  const words = 2 ** layout.bitsAllocated
  const [from, to] = padding ?? [Number.NaN, Number.NaN]
  // Some writers declare a padding value that does not fit in Bits Stored and write it as a whole word.
  const wholeWord = packed && (from < low || to > high)
  return Float64Array.from({ length: words }, (_, word) => {
    let stored = (word >> shift) & (span - 1)
    if (stored > high) stored -= span
    const asWord = layout.signed && word >= words / 2 ? word - words : word
    const tested = wholeWord ? asWord : stored
    return tested >= from && tested <= to ? Number.NaN : stored * slope + intercept
  })
}
