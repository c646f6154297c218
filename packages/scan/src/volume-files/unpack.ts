import type { ScanInput } from '../inputs/index.js'

/** So much of a file is read at once; each read of a zip may unpack the whole entry. */
const WINDOW_BYTES = 32 * 2 ** 20

/** So much is given to the unpacker at once: a trap unpacks to 1032 times that before it can be stopped. */
const FEED_BYTES = 2 ** 16

/** The bytes of a stretch of a file, a window at a time. */
export async function* readWindows(
  input: ScanInput,
  start: number,
  end: number,
  signal?: AbortSignal,
): AsyncGenerator<Uint8Array> {
  for (let at = start; at < end; at += WINDOW_BYTES) {
    const bytes = await input.read(at, Math.min(at + WINDOW_BYTES, end), signal)
    signal?.throwIfAborted()
    yield bytes
  }
}

/**
 * The unpacked bytes of a stretch of a file, piece by piece, by the platform's own Compression Streams, which also
 * compare the check sums. Rejects on broken bytes and on a stream that ends too early.
 */
export async function* unpack(
  input: ScanInput,
  start: number,
  end: number,
  format: 'gzip' | 'deflate',
  signal?: AbortSignal,
): AsyncGenerator<Uint8Array> {
  const stream = new DecompressionStream(format)
  const writer = stream.writable.getWriter()
  const reader = stream.readable.getReader()
  const feed = async () => {
    for await (const window of readWindows(input, start, end, signal))
      for (let at = 0; at < window.length; at += FEED_BYTES) {
        await writer.ready
        await writer.write(window.slice(at, at + FEED_BYTES))
      }
    await writer.close()
  }
  // What goes wrong with the file or by an abort reaches the reading side through the stream.
  const fed = feed().catch((reason) => writer.abort(reason).catch(() => {}))
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      yield value
    }
  } finally {
    await reader.cancel().catch(() => {})
    await fed
  }
}
