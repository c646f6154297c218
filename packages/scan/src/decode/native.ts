import type { Frame } from '../grey/index.js'
import { pixelCoding, type SliceHeader } from '../headers/index.js'
import { block, FindingError } from '../report/index.js'

/** Uncompressed pixels as they lie in the file. */
export async function readNative(header: SliceHeader, signal?: AbortSignal): Promise<Frame> {
  const { layout, source, pixels } = header
  const bytesPerPixel = layout.bitsAllocated / 8
  const length = layout.rows * layout.columns * bytesPerPixel
  const start = pixels?.offset ?? 0
  const bytes = await source.read(start, start + length, signal)
  if (bytes.length < length) throw new FindingError(truncated(header.file))
  if (bytesPerPixel === 1) return { pixels: bytes, packed: true }
  return { pixels: words(bytes, pixelCoding(header.transferSyntaxUid) === 'native-big-endian'), packed: true }
}

export const truncated = (file: string) =>
  block(
    'file-truncated',
    `${file} is cut short: part of its pixels is missing. Copy it again from the source.`,
    [file],
  )

/** 16-bit words of bytes in either order, whatever the order of this machine. */
export function words(bytes: Uint8Array, bigEndian: boolean): Uint16Array {
  const out = new Uint16Array(bytes.length >> 1)
  const first = bigEndian ? 1 : 0
  for (let i = 0; i < out.length; i++)
    out[i] = (bytes[2 * i + first] as number) | ((bytes[2 * i + 1 - first] as number) << 8)
  return out
}
