import { block, FindingError } from '../report/index.js'
import { HEAD_BYTES, headReader } from './heads.js'
import { inflateStream } from './inflate-stream.js'
import type { ScanInput } from './input.js'

/**
 * Files a person dropped or picked. Folder paths are kept where the browser gives them.
 * Nothing is read yet; zips are recognised by content when the scan is inspected.
 */
export function inputsFromFiles(files: Iterable<File>): ScanInput[] {
  const all = Array.from(files)
  const head = headReader(all)
  return all.map((file, n) => inputFromFile(file, () => head(n)))
}

const inputFromFile = (file: File, head: () => Promise<Uint8Array | null>): ScanInput => ({
  name: file.webkitRelativePath || file.name,
  size: file.size,
  inflate: inflateStream,
  blob: file,
  read: async (start = 0, end = file.size, signal) => {
    signal?.throwIfAborted()
    const known = end <= HEAD_BYTES ? await head() : null
    const bytes = known?.subarray(start, end) ?? (await bytesOf(file, start, end))
    signal?.throwIfAborted()
    return bytes
  },
})

/** @throws FindingError `file-unreadable`: the browser lets go of files that were changed, moved or unplugged. */
async function bytesOf(file: File, start: number, end: number): Promise<Uint8Array> {
  try {
    return new Uint8Array(await file.slice(start, end).arrayBuffer())
  } catch (cause) {
    const name = file.webkitRelativePath || file.name
    const message = `${name} can no longer be read: it was changed, moved or its disc taken out. Choose the files again.`
    throw new FindingError(block('file-unreadable', message, [name]), cause)
  }
}
