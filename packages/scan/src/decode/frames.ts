import type { Frame } from '../grey/index.js'
import { pixelCoding, type SliceHeader } from '../headers/index.js'
import { FindingError, isAbort, type ReportEntry } from '../report/index.js'
import { disagrees, readCodestream } from './codestream.js'
import type { CompressedImage, Decoder } from './decoder.js'
import { CodecMissing, NoAnswer } from './failures.js'
import {
  decoderNotLoaded,
  endsEarly,
  noAnswer,
  noDecoder,
  otherSize,
  signDisagrees,
  undecodable,
} from './findings.js'
import { readFragments } from './fragments.js'
import { readNative } from './native.js'
import { decodeRle } from './rle.js'

/**
 * The pixels of slices in their order, whatever their encoding. Only a few are read and decoded ahead of the one that
 * is asked for. Whoever stops asking, or aborts, ends all of it.
 * @param report takes what is worth a note, when all slices are through.
 * @throws FindingError naming the file when its pixels are missing or cannot be decoded.
 */
export async function* readFrames(
  headers: readonly SliceHeader[],
  decoder?: Decoder,
  signal?: AbortSignal,
  report?: ReportEntry[],
): AsyncGenerator<Frame> {
  const ended = new AbortController()
  const end = () => ended.abort(signal?.reason)
  signal?.throwIfAborted()
  signal?.addEventListener('abort', end, { once: true })
  const odd: SliceHeader[] = []
  const units = unitsOf(headers, { decoder, signal: ended.signal, odd })
  const ahead: Promise<readonly Frame[]>[] = []
  try {
    for (const [n, unit] of units.entries()) {
      for (const next of units.slice(ahead.length, n + unit.ahead)) {
        const frames = next.read()
        // A failure counts when its turn comes, not before: the first bad slice is the one to name.
        frames.catch(() => {})
        ahead.push(frames)
      }
      signal?.throwIfAborted()
      yield* await (ahead[n] as Promise<readonly Frame[]>)
      delete ahead[n]
    }
  } finally {
    signal?.removeEventListener('abort', end)
    ended.abort()
  }
  if (odd.length > 0) report?.push(signDisagrees(odd, headers.length))
}

/** Slices that are read together. */
interface Unit {
  /** So many units, this one among them, are under way at once. */
  readonly ahead: number
  read(): Promise<readonly Frame[]>
}

interface Means {
  readonly decoder: Decoder | undefined
  readonly signal: AbortSignal
  /** Collects slices whose codestream contradicts the header. */
  readonly odd: SliceHeader[]
}

/** So many files are read while one is worked on: opening them takes longer than copying their pixels. */
const FILES_AHEAD = 6

function unitsOf(headers: readonly SliceHeader[], means: Means): Unit[] {
  const { decoder } = means
  const units: Unit[] = []
  for (let k = 0; k < headers.length; ) {
    const header = headers[k] as SliceHeader
    if (pixelCoding(header.transferSyntaxUid) === 'codec') {
      const block = headers.slice(k, endOfBlock(headers, k, decoder?.blockSize ?? 1))
      // One more than the decoder works on: it never waits for a file.
      units.push({ ahead: (decoder?.blocksAtOnce ?? 0) + 1, read: () => readBlock(block, means) })
      k += block.length
    } else {
      units.push({ ahead: FILES_AHEAD, read: async () => [await readOne(header, means.signal)] })
      k++
    }
  }
  return units
}

/** Blocks are of one layout and one encoding; where the next slice differs, a new block starts. */
function endOfBlock(headers: readonly SliceHeader[], start: number, size: number): number {
  const key = (h: SliceHeader | undefined) => JSON.stringify([h?.transferSyntaxUid, h?.layout])
  const first = key(headers[start])
  let end = start + 1
  while (end < headers.length && end - start < size && key(headers[end]) === first) end++
  return end
}

async function readOne(header: SliceHeader, signal: AbortSignal): Promise<Frame> {
  if (pixelCoding(header.transferSyntaxUid) !== 'rle') return readNative(header, signal)
  const bytes = await readFragments(header, signal)
  try {
    return { pixels: decodeRle(bytes, header.layout), packed: true }
  } catch (cause) {
    throw new FindingError(undecodable(header), cause)
  }
}

async function readBlock(headers: readonly SliceHeader[], means: Means): Promise<Frame[]> {
  const { decoder, signal } = means
  if (!decoder) throw new FindingError(noDecoder(headers[0] as SliceHeader))
  const reading = headers.map((header) => readFragments(header, signal))
  for (const one of reading) one.catch(() => {})
  const images: CompressedImage[] = []
  for (const [i, header] of headers.entries()) {
    const codestream = await (reading[i] as Promise<Uint8Array>)
    checkCodestream(codestream, header, means.odd)
    const { slice, transferSyntaxUid, layout } = header
    images.push({ slice, transferSyntaxUid, layout, codestream })
  }
  return decodeBlock(images, headers, decoder, signal)
}

/**
 * What the markers tell before any pixel is decoded. A codec may be content with half a stream and leave the rest of the
 * picture as it was.
 */
function checkCodestream(codestream: Uint8Array, header: SliceHeader, odd: SliceHeader[]): void {
  const { rows, columns } = header.layout
  const stream = readCodestream(codestream)
  if (!stream) throw new FindingError(undecodable(header))
  if (stream.columns !== columns || (stream.rows !== rows && stream.rows !== 0))
    throw new FindingError(otherSize(header, `${columns} x ${rows}`, sizeIn(stream)))
  if (!stream.complete) throw new FindingError(endsEarly(header))
  if (disagrees(stream, header.layout)) odd.push(header)
}

async function decodeBlock(
  images: readonly CompressedImage[],
  headers: readonly SliceHeader[],
  decoder: Decoder,
  signal: AbortSignal,
): Promise<Frame[]> {
  try {
    const pixels = await decoder.decode(images, signal)
    const each = pixels.length / images.length
    return images.map((_, i) => ({ pixels: pixels.subarray(i * each, (i + 1) * each), packed: false }))
  } catch (cause) {
    if (isAbort(cause)) throw cause
    signal.throwIfAborted()
    const [first] = headers as readonly [SliceHeader]
    if (cause instanceof NoAnswer) throw new FindingError(noAnswer(headers), cause)
    if (cause instanceof CodecMissing) throw new FindingError(decoderNotLoaded(first), cause)
    if (images.length === 1) throw new FindingError(undecodable(first), cause)
    // A decoder does not say which image of a block it stumbled over; decoding one by one does.
    const frames: Frame[] = []
    for (const [i, image] of images.entries())
      frames.push(...(await decodeBlock([image], headers.slice(i, i + 1), decoder, signal)))
    return frames
  }
}

/** Damage can make any number of it. */
const sizeIn = ({ columns, rows }: { readonly columns: number; readonly rows: number }): string =>
  columns > 0 && rows > 0 ? `${columns} x ${rows}` : 'of no possible size'
