import type { ReportEntry } from '../report/index.js'
import { damaged } from './findings.js'
import type { VolumeFileHeader } from './header.js'
import { readStored } from './stored-bytes.js'

/** The decoder holds a block three times: as a file, in its own memory, and as the result. */
const BLOCK_BYTES = 32 * 2 ** 20

/** How many slices go into each block. Never one alone: a decoder might take it for a picture. */
export function blockSizes({ shape, voxelBytes, stored }: VolumeFileHeader): number[] {
  const slices = shape[2]
  if (stored.text) return [slices]
  const most = Math.max(2, Math.floor(BLOCK_BYTES / (shape[0] * shape[1] * voxelBytes)))
  const sizes = new Array<number>(Math.floor(slices / most)).fill(most)
  const rest = slices % most
  if (rest === 1 && sizes.length > 0) sizes[sizes.length - 1] = most + 1
  else if (rest > 0) sizes.push(rest)
  return sizes
}

/** A file of our own making for some slices. */
export interface CleanBlock {
  readonly bytes: Uint8Array
  readonly slices: number
}

/** Clean files with the voxels of the header, block by block. */
export async function* readBlocks(
  header: VolumeFileHeader,
  sizes: readonly number[],
  report: ReportEntry[],
  signal?: AbortSignal,
): AsyncGenerator<CleanBlock> {
  const { shape, voxelBytes, stored, file } = header
  const sliceBytes = stored.text ? textBytes(header) / shape[2] : shape[0] * shape[1] * voxelBytes
  const pieces = readStored(stored.parts, report, signal)
  try {
    let piece: Uint8Array = new Uint8Array()
    for (const slices of sizes) {
      const clean = stored.cleanHeader(slices)
      const bytes = new Uint8Array(clean.length + Math.round(slices * sliceBytes))
      bytes.set(clean)
      for (let at = clean.length; at < bytes.length; ) {
        if (piece.length === 0) {
          const next = await pieces.next()
          if (next.done) throw damaged(file, 'its voxels end too early')
          piece = next.value
        }
        const taken = piece.subarray(0, bytes.length - at)
        bytes.set(taken, at)
        at += taken.length
        piece = piece.subarray(taken.length)
      }
      yield { bytes, slices }
    }
    // What stands behind the voxels of a packed file: its check sum, or more than was promised.
    await pieces.next()
  } finally {
    await pieces.return(undefined)
  }
}

const textBytes = ({ stored }: VolumeFileHeader) => stored.parts.reduce((sum, part) => sum + part.bytes, 0)
