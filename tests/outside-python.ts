import { execFileSync } from 'node:child_process'
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
