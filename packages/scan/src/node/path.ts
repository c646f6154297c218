import { closeSync, openSync, readSync, statSync } from 'node:fs'
import { readdir, stat } from 'node:fs/promises'
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
      await othersTurn()
      const entry = statSync(full)
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

/**
 * Reads are synchronous: opening, reading and closing a file takes a tenth of what the same takes through the thread
 * pool, and a scan has hundreds. Whatever else waits in this thread gets its turn in between.
 */
const inputFromDisk = (path: string, name: string, size: number): ScanInput => {
  const readInto = async (target: Uint8Array, start: number, signal?: AbortSignal): Promise<number> => {
    await othersTurn()
    signal?.throwIfAborted()
    const file = openSync(path, 'r')
    try {
      let filled = 0
      while (filled < target.length) {
        const read = readSync(file, target, filled, target.length - filled, start + filled)
        if (read === 0) break
        filled += read
      }
      return filled
    } finally {
      closeSync(file)
    }
  }
  return {
    name,
    size,
    inflate: inflateNode,
    readInto,
    read: async (start = 0, end = size, signal) => {
      const bytes = new Uint8Array(Math.max(0, Math.min(end, size) - start))
      return bytes.subarray(0, await readInto(bytes, start, signal))
    },
  }
}

/** Longest time, in ms, for which reads keep the thread to themselves. */
const TURN_MS = 10
let turnStarted = 0

async function othersTurn(): Promise<void> {
  if (performance.now() - turnStarted < TURN_MS) return
  await new Promise(setImmediate)
  turnStarted = performance.now()
}
