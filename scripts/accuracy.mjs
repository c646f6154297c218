// `npm run accuracy [-- --short] [-- --only word]`: measures scenes with known answers and writes docs/accuracy.md.
//
// Short runs and runs of one study print the page and write nothing.
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { parseArgs } from 'node:util'
import { root, runMain, tsc } from './workspace.mjs'

await runMain(async () => {
  const { values } = parseArgs({ options: { short: { type: 'boolean' }, only: { type: 'string' } } })
  if ((await tsc(['-b'])) !== 0) return 1
  const built = join(root, '.cache', 'accuracy')
  rmSync(built, { recursive: true, force: true })
  if ((await tsc(['-p', 'tests/accuracy/tsconfig.json'])) !== 0) return 1
  const { run } = await import(pathToFileURL(join(built, 'run.js')).href)
  const path = join(root, 'docs', 'accuracy.md')
  await run({ short: values.short ?? false, ...(values.only ? { only: values.only } : {}), path })
  return 0
})
