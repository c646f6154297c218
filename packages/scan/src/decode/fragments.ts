import { pixelCoding, type SliceHeader } from '../headers/index.js'
import type { ScanInput } from '../inputs/index.js'
import { joinBytes } from '../inputs/index.js'
import { FindingError } from '../report/index.js'
import { startsImage } from './codestream.js'
import { framesMismatch, truncated } from './findings.js'
import { type Item, readItems, Window } from './items.js'
import { startsRle } from './rle.js'

/** The fragments of each frame of a file. */
type FrameItems = readonly (readonly Item[])[]

/** Of files with many frames, walked through once and kept as long as the file is. */
const known = new WeakMap<ScanInput, Promise<FrameItems>>()

/**
 * The compressed bytes of one frame: its fragments joined.
 * @throws FindingError `file-truncated`; `frames-mismatch` when the file does not hold the frames it claims.
 */
export async function readFragments(header: SliceHeader, signal?: AbortSignal): Promise<Uint8Array> {
  const { source, layout, frame, file } = header
  const window = new Window(source, signal)
  const frames = layout.frames > 1 ? await indexOf(header, window) : await onlyFrame(header, window)
  const fragments = frames[frame]
  const first = fragments?.[0]
  const last = fragments?.at(-1)
  if (!fragments || !first || !last) throw new FindingError(truncated(file))
  const bytes = await window.bytes(first.offset, last.offset + last.length, 0)
  if (bytes.length < last.offset + last.length - first.offset) throw new FindingError(truncated(file))
  return joinBytes(
    fragments.map(({ offset, length }) => bytes.subarray(offset - first.offset).subarray(0, length)),
  )
}

/** A file of one image is read as a whole, and once. */
async function onlyFrame(header: SliceHeader, window: Window): Promise<FrameItems> {
  const { source, pixels } = header
  await window.bytes(pixels?.offset ?? 0, source.size, 0)
  return framesOf(header, await readItems(header, window))
}

function indexOf(header: SliceHeader, window: Window): Promise<FrameItems> {
  const { source } = header
  const index = known.get(source) ?? readItems(header, window).then((items) => framesOf(header, items))
  known.set(source, index)
  // One that was aborted or failed is no answer for the next load.
  index.catch(() => known.delete(source))
  return index
}

/**
 * Which fragments belong to which frame: one begins at each fragment that begins like an image. Compressed pixels do
 * not look like that (in entropy-coded data FF is never followed by D8, and an RLE frame is one fragment), so no offset
 * table is needed, and a wrong one, basic or extended, does no harm.
 */
function framesOf({ layout, transferSyntaxUid, file }: SliceHeader, items: readonly Item[]): FrameItems {
  // The first item is always the Basic Offset Table, empty or not.
  const fragments = items.slice(1)
  if (fragments.length === 0) throw new FindingError(truncated(file))
  const rle = pixelCoding(transferSyntaxUid) === 'rle'
  const begins = ({ head }: Item) => (rle ? startsRle(head, layout) : startsImage(head))
  const starts = fragments.flatMap((fragment, n) => (begins(fragment) ? [n] : []))
  if (starts.length === layout.frames && starts[0] === 0)
    return starts.map((start, f) => fragments.slice(start, starts[f + 1]))
  // Whatever it begins with, a decoder will have its say.
  if (layout.frames === 1 && starts.length < 2) return [fragments]
  throw new FindingError(framesMismatch(file, layout.frames, starts.length))
}
