import type { SliceHeader } from '../headers/index.js'
import { FindingError } from '../report/index.js'
import { truncated } from './native.js'

const ITEM = 0xe000
const END = 0xe0dd

/**
 * The compressed bytes of a file that holds one image: its fragments joined, the offset table left out (PS3.5 A.4).
 * @throws FindingError `file-truncated` when a fragment reaches beyond the file.
 */
export async function readFragments(header: SliceHeader, signal?: AbortSignal): Promise<Uint8Array> {
  const { source, pixels, file } = header
  const bytes = await source.read(pixels?.offset ?? 0, source.size, signal)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  const parts: Uint8Array[] = []
  let at = 0
  while (at + 8 <= bytes.length) {
    const element = view.getUint16(at + 2, true)
    const length = view.getUint32(at + 4, true)
    if (view.getUint16(at, true) !== 0xfffe || element === END) break
    if (element !== ITEM || at + 8 + length > bytes.length) throw new FindingError(truncated(file))
    parts.push(bytes.subarray(at + 8, at + 8 + length))
    at += 8 + length
  }
  // The first item is always the Basic Offset Table, empty or not.
  const fragments = parts.slice(1)
  if (fragments.length === 0) throw new FindingError(truncated(file))
  if (fragments.length === 1) return fragments[0] as Uint8Array
  const joined = new Uint8Array(fragments.reduce((sum, f) => sum + f.length, 0))
  let filled = 0
  for (const fragment of fragments) {
    joined.set(fragment, filled)
    filled += fragment.length
  }
  return joined
}
