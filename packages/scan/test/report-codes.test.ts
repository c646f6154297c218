import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'

const root = join(import.meta.dirname, '..')

/** Codes as they are written in the source: the first argument of block, warn, note and their local helpers. */
function codesInSource(): string[] {
  const files = readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' }).filter((f) =>
    f.endsWith('.ts'),
  )
  const found = files.flatMap((file) => {
    const text = readFileSync(join(root, 'src', file), 'utf8')
    return [...text.matchAll(/\b(?:block|warn|note|refuse|need)\(\s*'([a-z-]+)'/g)].map((m) => m[1] as string)
  })
  return [...new Set(found)].sort()
}

it('every code of the report is explained in the README, and no other', () => {
  const readme = readFileSync(join(root, 'README.md'), 'utf8')
  const rows = readme.split('\n').filter((line) => line.startsWith('| `'))
  const explained = rows.flatMap((row) =>
    [...(row.split('|')[1] ?? '').matchAll(/`([a-z-]+)`/g)].map((m) => m[1] as string),
  )
  // Written through a comparison of two codes, so not found by the pattern.
  const others = ['bad-number', 'decimal-comma']
  expect([...codesInSource(), ...others].sort()).toEqual(explained.sort())
})
