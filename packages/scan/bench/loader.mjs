// Starts a way to read a series in a process of its own and asks it to read, one folder at a time.
import { spawn } from 'node:child_process'
import { join } from 'node:path'
import process from 'node:process'
import { createInterface } from 'node:readline'

/**
 * Time of one load, of what is made of it when asked for, and the most memory the process held until it was loaded.
 * @typedef {{ ms: number, laterMs: number, peakMb: number, checksum?: string }} Load
 * @typedef {{ load: (folder: string) => Promise<Load>, stop: () => void }} Loader
 */

/** A loader of loader-process.mjs, by its name there. @returns {Loader} */
export const nodeLoader = (name) =>
  startLoader(process.execPath, [join(import.meta.dirname, 'loader-process.mjs'), name])

/** pydicom and NumPy in the Python given. @returns {Loader} */
export const pythonLoader = (python) => startLoader(python, [join(import.meta.dirname, 'pydicom_loader.py')])

function startLoader(program, args) {
  const child = spawn(program, args, { stdio: ['pipe', 'pipe', 'inherit'] })
  const answers = createInterface({ input: child.stdout })[Symbol.asyncIterator]()
  return {
    async load(folder) {
      child.stdin.write(`${folder}\n`)
      const { value, done } = await answers.next()
      if (done) throw new Error(`${args.join(' ')} ended without an answer; its reason stands above.`)
      return JSON.parse(value)
    },
    stop: () => child.kill(),
  }
}
