import type { PixelLayout } from '../headers/index.js'

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
  if (bytes.length < 64) throw new RangeError('RLE header is cut short')
  const header = new DataView(bytes.buffer, bytes.byteOffset, 64)
  const segments = header.getUint32(0, true)
  if (segments !== planes) throw new RangeError(`RLE has ${segments} segments, ${planes} needed`)
  const offsets = Array.from({ length: segments }, (_, s) => header.getUint32(4 + 4 * s, true))
  const decoded = offsets.map((start, s) =>
    unpackBits(bytes.subarray(start, offsets[s + 1] ?? bytes.length), count),
  )
  const [high, low] = decoded
  if (!high) throw new RangeError('RLE has no segment')
  if (!low) return high
  const out = new Uint16Array(count)
  for (let i = 0; i < count; i++) out[i] = ((high[i] as number) << 8) | (low[i] as number)
  return out
}

function unpackBits(packed: Uint8Array, count: number): Uint8Array {
  const out = new Uint8Array(count)
  let at = 0
  let filled = 0
  while (filled < count && at < packed.length) {
    const control = packed[at++] as number
    if (control < 128) {
      const run = packed.subarray(at, at + control + 1)
      out.set(run.subarray(0, count - filled), filled)
      filled += run.length
      at += control + 1
    } else if (control > 128) {
      const length = Math.min(257 - control, count - filled)
      if (at >= packed.length) break
      out.fill(packed[at++] as number, filled, filled + length)
      filled += length
    }
  }
  if (filled < count) throw new RangeError(`RLE segment holds ${filled} of ${count} bytes`)
  return out
}
