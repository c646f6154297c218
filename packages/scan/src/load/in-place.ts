import { truncated } from '../decode/index.js'
import type { SlicePlacement } from '../geometry/index.js'
import { type Frame, isAsStored, rescaleOf, type Voxels } from '../grey/index.js'
import { pixelCoding, type SliceHeader } from '../headers/index.js'
import { FindingError } from '../report/index.js'

const machineIsLittleEndian = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1

/**
 * Whether the pixels can be read straight into the volume and turned into grey values there: words of 16 bits in the
 * order of this machine, from a source that can fill memory of ours. Where grey values differ from the words, the
 * volume must also be sure to keep its type, for the words are gone then.
 */
export const canReadInPlace = (headers: readonly SliceHeader[], voxels: Voxels): boolean =>
  machineIsLittleEndian &&
  !(voxels.data instanceof Float32Array) &&
  headers.every(
    (h) =>
      h.source.readInto !== undefined &&
      h.layout.bitsAllocated === 16 &&
      pixelCoding(h.transferSyntaxUid) === 'native' &&
      (voxels.settled || isAsStored(h, rescaleOf(h))),
  )

/**
 * The words of a slice, in the memory that its grey values will take.
 * @throws FindingError `file-truncated`
 */
export async function readInPlace(
  { header, k }: SlicePlacement,
  voxels: Voxels,
  signal?: AbortSignal,
): Promise<Frame> {
  const { source, pixels, frame, layout } = header
  const count = layout.rows * layout.columns
  const { buffer, byteOffset } = voxels.data
  const words = new Uint16Array(buffer, byteOffset + 2 * k * count, count)
  const bytes = new Uint8Array(buffer, words.byteOffset, words.byteLength)
  const start = (pixels?.offset ?? 0) + frame * bytes.length
  const filled = (await source.readInto?.(bytes, start, signal)) ?? 0
  if (filled < bytes.length) throw new FindingError(truncated(header.file))
  return { pixels: words, packed: true }
}
