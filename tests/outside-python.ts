import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe } from 'vitest'
import { describeMissing } from './shared-data.js'

const found = new Map<string, string | null>()

/** The first Python that has all modules: $PYTHON, the system's, the one on the path. Null when there is none. */
export function pythonWith(modules: readonly string[]): string | null {
  const key = modules.join(',')
  const known = found.get(key)
  if (known !== undefined) return known
  const candidates = [process.env.PYTHON, '/usr/bin/python3', 'python3'].filter((p) => p !== undefined)
  const python =
    candidates.find((candidate) => {
      try {
        execFileSync(candidate, ['-c', `import ${key}`], { stdio: 'ignore' })
        return true
      } catch {
        return false
      }
    }) ?? null
  found.set(key, python)
  return python
}

/** Runs a Python script (its text, not its path) and returns what it prints. Throws with its stderr when it fails. */
export type RunPython = (script: string, args?: readonly string[]) => string

/**
 * A `describe` that compares with Python libraries. Without them the block is skipped with one plain line; in CI it
 * fails.
 */
export function describeWithPython(
  name: string,
  modules: readonly string[],
  body: (run: RunPython) => void,
): void {
  const python = pythonWith(modules)
  if (python === null) {
    describeMissing(name, `no Python with ${modules.join(' and ')}`)
    return
  }
  const run: RunPython = (script, args = []) =>
    execFileSync(python, ['-c', script, ...args], { encoding: 'utf8', maxBuffer: 2 ** 28 })
  describe(name, () => body(run))
}

/** Numbers as they lie in memory: NumPy reads them by `np.fromfile`. */
export type Numbers = Float64Array | Float32Array | Int16Array | Uint16Array | Uint8Array

/**
 * Runs a Python script with arrays: its first argument is a folder that holds each array as a file of raw numbers, and
 * what it leaves there under the names of `answers`, float64, comes back. The folder is deleted.
 */
export function runWithArrays<Answer extends string>(
  run: RunPython,
  script: string,
  arrays: Readonly<Record<string, Numbers>>,
  answers: readonly Answer[],
): Record<Answer, Float64Array> {
  const folder = mkdtempSync(join(tmpdir(), 'alveometer-'))
  try {
    for (const [name, { buffer, byteOffset, byteLength }] of Object.entries(arrays))
      writeFileSync(join(folder, name), new Uint8Array(buffer, byteOffset, byteLength))
    run(script, [folder])
    const read = answers.map((name) => [name, doubles(readFileSync(join(folder, name)))])
    return Object.fromEntries(read) as Record<Answer, Float64Array>
  } finally {
    rmSync(folder, { recursive: true })
  }
}

const doubles = ({ buffer, byteOffset, byteLength }: Uint8Array): Float64Array =>
  new Float64Array(buffer.slice(byteOffset, byteOffset + byteLength))
