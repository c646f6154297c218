import type { PixelLayout, SliceHeader } from '../headers/index.js'
import type { Rescale } from './rescale.js'

/** The pixels of one slice, row by row. */
export interface Frame {
  readonly pixels: Uint8Array | Uint16Array | Int16Array | Int32Array | Float32Array | Float64Array
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
 * recognised before the rescale and written as NaN.
 * @param out one number per pixel.
 */
export function greyOf(frame: Frame, header: SliceHeader, rescale: Rescale, out: Float64Array): SliceRange {
  const { layout, padding } = header
  const { pixels, packed } = frame
  const { slope, intercept } = rescale
  const [low, high] = storedRange(layout)
  // A codec may disagree with Pixel Representation about the sign; the header is right (masking mends it).
  const whole = !(pixels instanceof Float32Array || pixels instanceof Float64Array)
  const shift = packed ? layout.highBit + 1 - layout.bitsStored : 0
  const mask = 2 ** layout.bitsStored - 1
  const span = mask + 1
  const [padFrom, padTo] = padding ?? [Number.NaN, Number.NaN]
  // Some writers declare a padding value that does not fit in Bits Stored and write it as a whole word.
  const wholeWord = packed && padding !== null && (padFrom < low || padTo > high)
  const wordSpan = 2 ** layout.bitsAllocated
  let padded = 0
  let minimum = Number.POSITIVE_INFINITY
  let maximum = Number.NEGATIVE_INFINITY
  for (let i = 0; i < out.length; i++) {
    const word = pixels[i] as number
    let stored = word
    if (whole) {
      stored = (word >> shift) & mask
      if (stored > high) stored -= span
    }
    let tested = stored
    if (wholeWord) tested = layout.signed && word >= wordSpan / 2 ? word - wordSpan : word
    if (tested >= padFrom && tested <= padTo) {
      out[i] = Number.NaN
      padded++
      continue
    }
    const grey = stored * slope + intercept
    if (grey < minimum) minimum = grey
    if (grey > maximum) maximum = grey
    out[i] = grey
  }
  return { padded, minimum, maximum }
}
