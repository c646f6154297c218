import { open, readdir, stat } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'
import type { ScanInput } from '../inputs/index.js'
import { ScanError } from '../report/index.js'
import { inflateNode } from './inflate.js'

/**
 * A file, a zip or a folder with everything below it as inputs. Files are opened only while they are read.
 * @throws ScanError `path-unreadable`
 */
export async function inputsFromPath(path: string): Promise<ScanInput[]> {
  try {
    const info = await stat(path)
    if (!info.isDirectory()) return [inputFromDisk(path, path, info.size)]
    const names = await readdir(path, { recursive: true })
    const inputs: ScanInput[] = []
    for (const name of names.sort()) {
      const full = join(path, name)
      const entry = await stat(full)
      if (entry.isFile())
        inputs.push(inputFromDisk(full, relative(path, full).split(sep).join('/'), entry.size))
    }
    return inputs
  } catch (cause) {
    const missing = cause instanceof Error && 'code' in cause && cause.code === 'ENOENT'
    const why = missing ? 'there is no such file or folder' : 'it could not be opened'
    throw new ScanError(
      'path-unreadable',
      `${path}: ${why}. Check the path and that it may be read.`,
      [],
      cause,
    )
  }
}

const inputFromDisk = (path: string, name: string, size: number): ScanInput => ({
  name,
  size,
  inflate: inflateNode,
  read: async (start = 0, end = size, signal) => {
    signal?.throwIfAborted()
    const length = Math.max(0, Math.min(end, size) - start)
    const bytes = new Uint8Array(length)
    const file = await open(path, 'r')
    try {
      let filled = 0
      while (filled < length) {
        const { bytesRead } = await file.read(bytes, filled, length - filled, start + filled)
        if (bytesRead === 0) break
        filled += bytesRead
      }
      return bytes.subarray(0, filled)
    } finally {
      await file.close()
    }
  },
})
