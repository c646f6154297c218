import type { Frame } from '../grey/index.js'
import { describeSyntax, pixelCoding, type SliceHeader } from '../headers/index.js'
import { block, FindingError, isAbort } from '../report/index.js'
import type { CompressedImage, Decoder } from './decoder.js'
import { readFragments } from './fragments.js'
import { readNative } from './native.js'
import { decodeRle } from './rle.js'
import { wrapImage } from './wrap.js'

/**
 * The pixels of slices in their order, whatever their encoding. Only one block of compressed images is held at a time.
 * @throws FindingError naming the file when its pixels are missing or cannot be decoded.
 */
export async function* readFrames(
  headers: readonly SliceHeader[],
  decoder?: Decoder,
  signal?: AbortSignal,
): AsyncGenerator<Frame> {
  const ahead = new Map<SliceHeader, Promise<Frame>>()
  for (let k = 0; k < headers.length; ) {
    signal?.throwIfAborted()
    const header = headers[k] as SliceHeader
    if (needsCodec(header)) {
      if (!decoder) throw new FindingError(noDecoder(header))
      const last = endOfBlock(headers, k, decoder.blockSize)
      yield* decodeBlock(headers.slice(k, last), decoder, signal)
      k = last
    } else {
      readAhead(ahead, headers, k, signal)
      const frame = await ahead.get(header)
      ahead.delete(header)
      if (frame) yield frame
      k++
    }
  }
}

/** So many files are read while one is worked on: opening them takes longer than copying their pixels. */
const FILES_AHEAD = 6

/** Starts reading the slice at `k` and the next ones that need no codec. */
function readAhead(
  ahead: Map<SliceHeader, Promise<Frame>>,
  headers: readonly SliceHeader[],
  k: number,
  signal?: AbortSignal,
): void {
  for (const header of headers.slice(k, k + FILES_AHEAD)) {
    if (ahead.has(header) || needsCodec(header)) continue
    const rle = pixelCoding(header.transferSyntaxUid) === 'rle'
    const frame = rle ? readRle(header, signal) : readNative(header, signal)
    // A failure counts when its turn comes, not before: the first bad slice is the one to name.
    frame.catch(() => {})
    ahead.set(header, frame)
  }
}

const needsCodec = (header: SliceHeader) => pixelCoding(header.transferSyntaxUid) === 'codec'

/** Blocks are of one layout and one encoding; where the next slice differs, a new block starts. */
function endOfBlock(headers: readonly SliceHeader[], start: number, size: number): number {
  const key = (h: SliceHeader | undefined) => JSON.stringify([h?.transferSyntaxUid, h?.layout])
  let end = start + 1
  while (end < headers.length && end - start < size && key(headers[end]) === key(headers[start])) end++
  return end
}

async function* decodeBlock(
  headers: readonly SliceHeader[],
  decoder: Decoder,
  signal?: AbortSignal,
): AsyncGenerator<Frame> {
  const images: CompressedImage[] = []
  for (const header of headers) {
    const { file, transferSyntaxUid, layout } = header
    images.push({
      file,
      transferSyntaxUid,
      layout,
      dicom: wrapImage(header, await readFragments(header, signal)),
    })
  }
  const pixels = await decodeOrName(images, decoder, signal)
  const each = pixels.length / images.length
  for (let i = 0; i < images.length; i++)
    yield { pixels: pixels.subarray(i * each, (i + 1) * each), packed: false }
}

/** A decoder does not say which image of a block it stumbled over; decoding one by one does. */
async function decodeOrName(images: readonly CompressedImage[], decoder: Decoder, signal?: AbortSignal) {
  try {
    return await decoder.decode(images, signal)
  } catch (cause) {
    if (isAbort(cause)) throw cause
    signal?.throwIfAborted()
    for (const image of images.length > 1 ? images : [])
      try {
        await decoder.decode([image], signal)
      } catch (single) {
        if (isAbort(single)) throw single
        throw new FindingError(undecodable(image), single)
      }
    throw new FindingError(undecodable(images[0] as CompressedImage), cause)
  }
}

async function readRle(header: SliceHeader, signal?: AbortSignal): Promise<Frame> {
  const bytes = await readFragments(header, signal)
  try {
    return { pixels: decodeRle(bytes, header.layout), packed: true }
  } catch (cause) {
    throw new FindingError(undecodable(header), cause)
  }
}

const undecodable = ({ file, transferSyntaxUid }: Pick<SliceHeader, 'file' | 'transferSyntaxUid'>) =>
  block(
    'decode-failed',
    `${file}: its pixels (${describeSyntax(transferSyntaxUid)}) cannot be decoded; the file is probably damaged. Export the series again.`,
    [file],
  )

const noDecoder = ({ file, transferSyntaxUid }: SliceHeader) =>
  block(
    'no-decoder',
    `${file} is compressed (${describeSyntax(transferSyntaxUid)}) and no decoder is at hand. Export the series again uncompressed.`,
    [file],
  )
