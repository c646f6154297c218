import type { Inflate } from './input.js'

/**
 * Unpacks with the browser's own DecompressionStream (Compression Streams standard), which works beside the calling
 * thread. Rejects where 'deflate-raw' is not known.
 */
export const inflateStream: Inflate = async (packed, size) => {
  const stream = new DecompressionStream('deflate-raw')
  const writer = stream.writable.getWriter()
  // Broken bytes make these reject as well as the reading side, where it is noticed.
  writer.write(packed as Uint8Array<ArrayBuffer>).catch(() => {})
  writer.close().catch(() => {})
  const out = new Uint8Array(size)
  const reader = stream.readable.getReader()
  let filled = 0
  for (;;) {
    const { done, value } = await reader.read()
    if (done) return out.subarray(0, filled)
    if (filled + value.length > size) {
      await reader.cancel()
      throw new RangeError(`unpacks to more than ${size} bytes`)
    }
    out.set(value, filled)
    filled += value.length
  }
}
