import type { PixelLayout } from '../headers/index.js'
import { words } from './native.js'

/** Sixteen words: how many segments, and where each begins. */
const HEADER_BYTES = 64

/**
 * RLE Lossless (PS3.5 annex G): a header of 16 words, then one run-length coded segment per byte of a pixel, the
 * most significant first. Returns words as in native pixel data.
 * @throws RangeError when a segment does not fill the image.
 */
export function decodeRle(
  bytes: Uint8Array,
  { rows, columns, bitsAllocated }: PixelLayout,
): Uint8Array | Uint16Array {
  const count = rows * columns
  const planes = bitsAllocated / 8
  if (bytes.length < HEADER_BYTES) throw new RangeError('RLE header is cut short')
  const header = new DataView(bytes.buffer, bytes.byteOffset, HEADER_BYTES)
  const segments = header.getUint32(0, true)
  if (segments !== planes) throw new RangeError(`RLE has ${segments} segments, ${planes} needed`)
  const out = new Uint8Array(planes * count)
  const offset = (s: number) => (s < segments ? header.getUint32(4 + 4 * s, true) : bytes.length)
  for (let s = 0; s < segments; s++)
    unpackBits(bytes.subarray(offset(s), offset(s + 1)), out, planes - 1 - s, planes)
  return planes === 1 ? out : words(out, false)
}

/** Begins with the header of an image of this layout: the first segment always starts right behind the header. */
export function startsRle(head: Uint8Array, { bitsAllocated }: PixelLayout): boolean {
  const words = [bitsAllocated / 8, HEADER_BYTES].flatMap((word) => [word, 0, 0, 0])
  return words.every((byte, i) => head[i] === byte)
}

/** Writes every `step`-th byte of `out`, from `first` on. */
function unpackBits(packed: Uint8Array, out: Uint8Array, first: number, step: number): void {
  let at = 0
  let filled = first
  while (filled < out.length && at < packed.length) {
    const control = packed[at++] as number
    if (control === 128) continue
    if (control < 128) {
      const end = Math.min(packed.length, at + control + 1)
      for (; at < end && filled < out.length; filled += step) out[filled] = packed[at++] as number
    } else if (at < packed.length) {
      const value = packed[at++] as number
      const end = Math.min(out.length, filled + (257 - control) * step)
      for (; filled < end; filled += step) out[filled] = value
    }
  }
  if (filled < out.length) throw new RangeError(`RLE segment ends ${out.length - filled} bytes early`)
}
