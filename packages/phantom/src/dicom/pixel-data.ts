import type { Dataset } from './dataset.js'
import type { TransferSyntax } from './file.js'
import { encodeRle } from './rle.js'

type Words = Int16Array | Uint16Array

/**
 * Where a reader may look up the place of a frame among the fragments: 'basic', first item of Pixel Data (PS3.5 annex
 * A.4); 'extended', elements (7FE0,0001) and (7FE0,0002) of 64 bit numbers, the basic one empty (PS3.3 C.7.6.3.1.8);
 * 'empty', nowhere.
 */
export type OffsetTable = 'basic' | 'extended' | 'empty'

export interface FragmentOptions {
  /** Default 'basic'. */
  readonly offsetTable?: OffsetTable
  /** Items each frame is cut into; default 1. The standard wants 1 with an extended table. */
  readonly fragmentsPerFrame?: number
}

/** Pixel Data of 16 bit frames as the transfer syntax wants it, with its offset table where it has one. */
export function pixelElements(
  frames: readonly Words[],
  columns: number,
  syntax: TransferSyntax,
  options: FragmentOptions = {},
): Dataset {
  if (syntax === 'rle')
    return encapsulate(
      frames.map((frame) => encodeRle(frame, columns)),
      options,
    )
  return { PixelData: nativeBytes(frames, syntax !== 'explicitBig') }
}

/** Pixel Data of frames that are compressed already. */
export function encapsulate(frames: readonly Uint8Array[], options: FragmentOptions = {}): Dataset {
  const cut = frames.map((frame) => fragmentsOf(frame, options.fragmentsPerFrame ?? 1))
  const fragments = cut.flat()
  const offsets = frameOffsets(cut)
  if (options.offsetTable === 'empty') return { PixelData: { fragments } }
  if (options.offsetTable !== 'extended') return { PixelData: { fragments, offsets } }
  return {
    ExtendedOffsetTable: offsets,
    ExtendedOffsetTableLengths: frames.map((frame) => frame.length),
    PixelData: { fragments },
  }
}

/** Pieces of even length, as every fragment but the last of a frame has to be. */
function fragmentsOf(frame: Uint8Array, count: number): Uint8Array[] {
  const size = 2 * Math.ceil(frame.length / count / 2)
  return Array.from({ length: count }, (_, n) => frame.subarray(n * size, (n + 1) * size))
}

/** From the first byte behind the offset table to the first item of each frame. */
function frameOffsets(cut: readonly (readonly Uint8Array[])[]): number[] {
  let at = 0
  return cut.map((fragments) => {
    const start = at
    for (const { length } of fragments) at += 8 + length + (length % 2)
    return start
  })
}

function nativeBytes(frames: readonly Words[], littleEndian: boolean): Uint8Array {
  const bytes = new Uint8Array(frames.reduce((sum, frame) => sum + 2 * frame.length, 0))
  const view = new DataView(bytes.buffer)
  let at = 0
  for (const frame of frames)
    for (const word of frame) {
      view.setUint16(at, word, littleEndian)
      at += 2
    }
  return bytes
}
