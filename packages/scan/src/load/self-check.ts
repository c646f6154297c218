import type { VoxelArray } from '@alveometer/core'
import type { SlicePlacement } from '../geometry/index.js'
import { rescaleOf } from '../grey/index.js'
import { pixelCoding, type SliceHeader } from '../headers/index.js'
import { block, FindingError } from '../report/index.js'

/** The voxels of a loaded volume, each slice in its plane. */
export interface LoadedPlanes {
  readonly data: VoxelArray
  readonly noData: number
  readonly perSlice: number
}

const SLICES = 3
const VOXELS = 4

/**
 * Reads a few voxels of the first, middle and last slice once more, straight from the file and by arithmetic of its
 * own, and compares them with the volume: slope x stored + intercept, one by one.
 * @throws FindingError `self-check-failed`
 */
export async function selfCheck(
  slices: readonly SlicePlacement[],
  { data, noData, perSlice }: LoadedPlanes,
  signal?: AbortSignal,
): Promise<void> {
  const picked = Array.from({ length: SLICES }, (_, n) =>
    Math.round((n * (slices.length - 1)) / (SLICES - 1)),
  )
  for (const { header, k } of new Set(picked.map((n) => slices[n] as SlicePlacement))) {
    if (!pixelCoding(header.transferSyntaxUid).startsWith('native')) continue
    for (let n = 0; n < VOXELS; n++) {
      const p = Math.floor(((n + 0.5) / VOXELS) * perSlice)
      const loaded = data[k * perSlice + p] as number
      const expected = await greyInFile(header, p, signal)
      // No data may be padding, or lie outside the field; neither is a value of the file.
      if (loaded !== noData && Math.fround(expected) !== Math.fround(loaded))
        throw new FindingError(failed(header))
    }
  }
}

async function greyInFile(header: SliceHeader, p: number, signal?: AbortSignal): Promise<number> {
  const { source, pixels, layout, frame, transferSyntaxUid } = header
  const size = layout.bitsAllocated / 8
  const at = (pixels?.offset ?? 0) + size * (frame * layout.rows * layout.columns + p)
  const bytes = await source.read(at, at + size, signal)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  const word = size === 1 ? view.getUint8(0) : view.getUint16(0, pixelCoding(transferSyntaxUid) === 'native')
  const stored = Math.floor(word / 2 ** (layout.highBit + 1 - layout.bitsStored)) % 2 ** layout.bitsStored
  const half = 2 ** (layout.bitsStored - 1)
  const { slope, intercept } = rescaleOf(header)
  return slope * (layout.signed && stored >= half ? stored - 2 * half : stored) + intercept
}

const failed = ({ slice, file }: SliceHeader) =>
  block(
    'self-check-failed',
    `${slice}: a value read again from the file is not the one that was loaded. Load the scan again; if it stays, the file changes while it is read.`,
    [file],
  )
