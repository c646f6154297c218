import type { DataSet } from 'dicom-parser'
import type { ScanInput } from '../inputs/index.js'
import { volumeFileKind } from '../volume-files/index.js'
import { type Container, containerOf, hasShiftedStart } from './container.js'
import type { SliceHeader } from './header.js'
import { PIXEL_DATA, parseHead, parseMeta } from './parse.js'
import { slicesOf } from './slices.js'

/** What one input turned out to be. `slices`: one for each frame. */
export type HeaderResult =
  | { readonly kind: 'image'; readonly slices: readonly SliceHeader[] }
  | { readonly kind: 'dicomdir' | 'no-image' | 'volume-file' | 'not-dicom' | 'empty' | 'unreadable' }

/** Most headers are shorter; one of many frames or with a private block is read again, longer. */
const HEAD_BYTES = 16384
const DICOMDIR_CLASS = '1.2.840.10008.1.3.10'

/** Reads everything in front of the pixels of one input; nothing of the pixels unless the file is deflated. */
export async function readHeader(input: ScanInput, signal?: AbortSignal): Promise<HeaderResult> {
  if (input.size === 0) return { kind: 'empty' }
  const head = await input.read(0, HEAD_BYTES, signal)
  const container = await containerOf(input, head, signal)
  if (!container) return { kind: kindOf(head) }
  const data = await parseGrowing(container, container.source === input ? head : null, signal)
  // An index whose records are damaged is an index all the same.
  if (!data) return { kind: parseMeta(head)?.sopClassUid === DICOMDIR_CLASS ? 'dicomdir' : 'unreadable' }
  if (data.string('x00020002') === DICOMDIR_CLASS || data.elements.x00041220) return { kind: 'dicomdir' }
  if (!data.elements[PIXEL_DATA]) return { kind: 'no-image' }
  return { kind: 'image', slices: slicesOf(input, container, data) }
}

function kindOf(head: Uint8Array): 'volume-file' | 'unreadable' | 'not-dicom' {
  if (volumeFileKind(head)) return 'volume-file'
  return hasShiftedStart(head) ? 'unreadable' : 'not-dicom'
}

/** Ends at the first head that parses as far as the pixels, or null. */
async function parseGrowing(
  { source, impliedSyntaxUid }: Container,
  head: Uint8Array | null,
  signal?: AbortSignal,
): Promise<DataSet | null> {
  for (let length = HEAD_BYTES; ; length *= 4) {
    const known = length === HEAD_BYTES ? head : null
    const bytes = known ?? (await source.read(0, Math.min(length, source.size), signal))
    const data = parseHead(bytes, impliedSyntaxUid)
    // A head that ends exactly between two elements parses without having met the pixels.
    if (data && (data.elements[PIXEL_DATA] || length >= source.size)) return data
    if (length >= source.size) return null
  }
}
