import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, it } from 'vitest'

const repository = join(dirname(fileURLToPath(import.meta.url)), '..')

/**
 * Where a piece of the shared test data is, or null where it is not on this machine.
 * The data lie beside the repository and are never part of it.
 */
export function sharedData(path: string): string | null {
  const full = join(repository, '..', 'shared', 'data', path)
  return existsSync(full) ? full : null
}

/** True where missing data or tools must fail the run instead of skipping tests. */
export const inCi = (): boolean => process.env.CI === 'true'

/**
 * A `describe` that needs a piece of the shared data. Where it is absent the block is skipped with one plain line;
 * in CI it fails. `body` gets the full path.
 */
export function describeWithData(name: string, path: string, body: (full: string) => void): void {
  const full = sharedData(path)
  if (full !== null) describe(name, () => body(full))
  else describeMissing(name, `shared data ${path} is not here`)
}

/** Stands in for a block whose data or tool is missing: skipped with the reason in its name, failing in CI. */
export function describeMissing(name: string, reason: string): void {
  if (inCi())
    it(name, () => {
      throw new Error(`${reason}, and CI runs every test`)
    })
  else describe.skip(`${name} (skipped: ${reason})`, () => it('needs it', () => {}))
}
