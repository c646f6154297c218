// `npm run exit-classes [-- --short]`: simulates where screw channels leave upper front crowns and writes
// docs/exit-classes.md. A short run prints the page and writes nothing.
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { parseArgs } from 'node:util'
import { root, runMain, tsc } from './workspace.mjs'

await runMain(async () => {
  const { values } = parseArgs({ options: { short: { type: 'boolean' } } })
  if ((await tsc(['-b', 'packages/core', 'packages/phantom'])) !== 0) return 1
  const built = join(root, '.cache', 'exit-classes')
  rmSync(built, { recursive: true, force: true })
  if ((await tsc(['-p', 'tests/exit-classes/tsconfig.json'])) !== 0) return 1
  const { run } = await import(pathToFileURL(join(built, 'exit-classes', 'run.js')).href)
  run({ short: values.short ?? false, path: join(root, 'docs', 'exit-classes.md') })
  return 0
})
