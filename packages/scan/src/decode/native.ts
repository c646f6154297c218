import type { Frame } from '../grey/index.js'
import { pixelCoding, type SliceHeader } from '../headers/index.js'
import { FindingError } from '../report/index.js'
import { truncated } from './findings.js'

/** Uncompressed pixels of one frame as they lie in the file. */
export async function readNative(header: SliceHeader, signal?: AbortSignal): Promise<Frame> {
  const { layout, source, pixels, frame } = header
  const bytesPerPixel = layout.bitsAllocated / 8
  const length = layout.rows * layout.columns * bytesPerPixel
  const start = (pixels?.offset ?? 0) + frame * length
  const bytes = await source.read(start, start + length, signal)
  if (bytes.length < length) throw new FindingError(truncated(header.file))
  if (bytesPerPixel === 1) return { pixels: bytes, packed: true }
  return { pixels: words(bytes, pixelCoding(header.transferSyntaxUid) === 'native-big-endian'), packed: true }
}

const machineIsLittleEndian = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1

/** 16-bit words of bytes in either order, whatever the order of this machine. */
export function words(bytes: Uint8Array, bigEndian: boolean): Uint16Array {
  if (!bigEndian && machineIsLittleEndian) {
    const aligned = bytes.byteOffset % 2 === 0 ? bytes : bytes.slice()
    return new Uint16Array(aligned.buffer, aligned.byteOffset, bytes.length >> 1)
  }
  const out = new Uint16Array(bytes.length >> 1)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  for (let i = 0; i < out.length; i++) out[i] = view.getUint16(2 * i, !bigEndian)
  return out
}
