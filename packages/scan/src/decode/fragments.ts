import { pixelCoding, type SliceHeader } from '../headers/index.js'
import type { ScanInput } from '../inputs/index.js'
import { FindingError } from '../report/index.js'
import { startsImage } from './codestream.js'
import { framesMismatch, truncated } from './findings.js'
import { ITEM_HEADER, type Item, readItems, Window } from './items.js'
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
  return join(
    fragments.map(({ offset, length }) => bytes.subarray(offset - first.offset).subarray(0, length)),
  )
}

/** A file of one image is read as a whole, and once. */
async function onlyFrame(header: SliceHeader, window: Window): Promise<FrameItems> {
  const { source, pixels } = header
  await window.bytes(pixels?.offset ?? 0, source.size, 0)
  return framesOf(header, await readItems(header, window), new Uint8Array(0))
}

function indexOf(header: SliceHeader, window: Window): Promise<FrameItems> {
  const { source } = header
  const index = known.get(source) ?? buildIndex(header, window)
  known.set(source, index)
  // One that was aborted or failed is no answer for the next load.
  index.catch(() => known.delete(source))
  return index
}

async function buildIndex(header: SliceHeader, window: Window): Promise<FrameItems> {
  const items = await readItems(header, window)
  const [table] = items
  const bytes = table ? await window.bytes(table.offset, table.offset + table.length, 0) : new Uint8Array(0)
  return framesOf(header, items, bytes)
}

/**
 * Which fragments belong to which frame. The offset table is believed where it fits the items; otherwise a frame begins
 * at each fragment that begins like an image, and where that cannot be told each fragment is a frame. An Extended
 * Offset Table adds nothing to this: it demands one fragment for each frame (PS3.3 C.7.6.3.1.8).
 */
function framesOf(
  { layout, transferSyntaxUid, file }: SliceHeader,
  items: Item[],
  table: Uint8Array,
): FrameItems {
  // The first item is always the Basic Offset Table, empty or not.
  const fragments = items.slice(1)
  if (fragments.length === 0) throw new FindingError(truncated(file))
  const rle = pixelCoding(transferSyntaxUid) === 'rle'
  const begins = ({ head }: Item) => (rle ? startsRle(head, layout) : startsImage(head))
  const starts = fragments.flatMap((fragment, n) => (begins(fragment) ? [n] : []))
  const cut = (at: readonly number[]) => at.map((start, f) => fragments.slice(start, at[f + 1]))
  const told = tabled(table, fragments, layout.frames)
  const starting = new Set(starts)
  if (told?.every((n) => starting.has(n))) return cut(told)
  if (starts.length === layout.frames && starts[0] === 0) return cut(starts)
  if (layout.frames === 1 && starts.length < 2) return [fragments]
  if (fragments.length === layout.frames && starts.length === 0)
    return fragments.map((fragment) => [fragment])
  throw new FindingError(framesMismatch(file, layout.frames, starts.length || fragments.length))
}

/**
 * The first fragment of each frame as the Basic Offset Table has it; null where it does not fit the items.
 * Its offsets count from the first fragment's item tag to that of each frame.
 */
function tabled(table: Uint8Array, fragments: readonly Item[], frames: number): number[] | null {
  if (table.length !== 4 * frames) return null
  const view = new DataView(table.buffer, table.byteOffset, table.length)
  const base = (fragments[0]?.offset ?? 0) - ITEM_HEADER
  const places = new Map(fragments.map(({ offset }, n) => [offset - ITEM_HEADER - base, n]))
  const starts = Array.from({ length: frames }, (_, f) => places.get(view.getUint32(4 * f, true)) ?? -1)
  const rising = starts.every((n, f) => (f === 0 ? n === 0 : n > (starts[f - 1] as number)))
  return rising ? starts : null
}

function join(parts: readonly Uint8Array[]): Uint8Array {
  if (parts.length === 1) return parts[0] as Uint8Array
  const joined = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let filled = 0
  for (const part of parts) {
    joined.set(part, filled)
    filled += part.length
  }
  return joined
}
