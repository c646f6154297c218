import { inflateStream } from './inflate-stream.js'
import type { ScanInput } from './input.js'

/**
 * Files a person dropped or picked. Folder paths are kept where the browser gives them.
 * Nothing is read yet; zips are recognised by content when the scan is inspected.
 */
export const inputsFromFiles = (files: Iterable<File>): ScanInput[] => Array.from(files, inputFromFile)

const inputFromFile = (file: File): ScanInput => ({
  name: file.webkitRelativePath || file.name,
  size: file.size,
  inflate: inflateStream,
  read: async (start = 0, end = file.size, signal) => {
    signal?.throwIfAborted()
    const bytes = await file.slice(start, end).arrayBuffer()
    signal?.throwIfAborted()
    return new Uint8Array(bytes)
  },
})
