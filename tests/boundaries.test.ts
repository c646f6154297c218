import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, expect, test } from 'vitest'
import { checkBoundaries } from '../scripts/boundaries.mjs'

const folders: string[] = []
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** Checks a small made-up repository and answers what was reported, one `file:line: message` each. */
async function check(files: Readonly<Record<string, string>>): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'alveometer-boundaries-'))
  folders.push(folder)
  const manifest = (dependencies: Record<string, string>) => JSON.stringify({ dependencies })
  const all = {
    'packages/core/package.json': manifest({ 'gl-matrix': '1', ndarray: '1' }),
    'packages/scan/package.json': manifest({ '@alveometer/core': '1', 'itk-wasm': '1' }),
    'packages/phantom/package.json': manifest({ '@alveometer/core': '1' }),
    'packages/viewer/package.json': manifest({ '@alveometer/core': '1', '@alveometer/scan': '1', lit: '1' }),
    'packages/cli/package.json': manifest({ '@alveometer/scan': '1', '@alveometer/viewer': '1' }),
    'apps/page/package.json': manifest({ '@alveometer/viewer': '1', alveometer: '1', lit: '1' }),
    ...files,
  }
  for (const [path, text] of Object.entries(all)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true })
    writeFileSync(join(folder, path), text)
  }
  const { problems } = await checkBoundaries(folder)
  return problems.map(({ file, line, message }) => `${file}:${line}: ${message}`)
}

test('the repository keeps its arrows', async () => {
  const { files, problems } = await checkBoundaries()
  expect(problems).toEqual([])
  expect(files).toBeGreaterThan(20)
})

test('arrows that point the right way pass', async () => {
  expect(
    await check({
      'packages/core/src/index.ts': "export { a } from './volume/index.js'",
      'packages/core/src/space/index.ts': "import { mat4 } from 'gl-matrix'\nexport const b = mat4",
      'packages/core/src/volume/index.ts': "import { b } from '../space/index.js'\nexport const a = b",
      'packages/core/src/fixture/index.ts': "export { a } from '../volume/index.js'",
      'packages/core/src/bone/index.ts': "export { a } from '../fixture/index.js'",
      'packages/core/src/ndarray.ts': "import ndarray from 'ndarray'\nexport const c = ndarray",
      'packages/scan/src/index.ts': "import 'itk-wasm'\nexport { a } from '@alveometer/core'",
      'packages/scan/src/node.ts': "import 'node:fs'\nexport { a } from './index.js'",
      'packages/viewer/src/index.ts': "import 'lit/decorators.js'\nimport '@alveometer/scan'",
      'packages/cli/src/main.ts': "import '@alveometer/scan/node'",
      'apps/page/src/main.ts': "import 'lit'\nimport '@alveometer/viewer'",
    }),
  ).toEqual([])
})

test.each([
  [
    'a back-arrow inside the core',
    'core/src/space/index.ts',
    '\nimport type { V } from "../volume/index.js"',
    ':2: core/space must not import core/volume',
  ],
  [
    'an arrow between parts',
    'core/src/crown/index.ts',
    "export * from '../bone/index.js'",
    'core/crown must not import core/bone',
  ],
  [
    'an arrow the wrong way between parts',
    'core/src/fixture/index.ts',
    "import '../bone/index.js'",
    'core/fixture must not import core/bone',
  ],
  [
    'a folder that no table knows',
    'core/src/extra/index.ts',
    "import '../space/index.js'",
    'core/extra is not in the table',
  ],
  [
    'the gathering index from within',
    'core/src/volume/x.ts',
    "import '../index.js'",
    "import the folder's own index",
  ],
  ['Node in the core', 'core/src/volume/x.ts', "import { join } from 'path'", 'must run without Node'],
  [
    'a library in the core',
    'core/src/volume/x.ts',
    "const x = await import('three')",
    'the core may only use',
  ],
  ['matrices outside space', 'core/src/volume/x.ts', "import 'gl-matrix'", 'only by src/space'],
  ['ndarray elsewhere', 'core/src/volume/x.ts', "import 'ndarray'", 'only by src/ndarray.ts'],
  [
    'a test imported by the source',
    'core/src/volume/x.ts',
    "import '../../test/help.js'",
    'leaves the src folder of core',
  ],
  [
    'a package that imports itself',
    'core/src/volume/x.ts',
    "import '@alveometer/core'",
    'is its own package',
  ],
  [
    'siblings',
    'scan/src/x.ts',
    "import '@alveometer/phantom'",
    'packages/scan must not import packages/phantom',
  ],
  [
    'the viewer on the phantom',
    'viewer/src/x.ts',
    "import '@alveometer/phantom'",
    'must not import packages/phantom',
  ],
  [
    'the command line on the viewer',
    'cli/src/x.ts',
    "import '@alveometer/viewer'",
    'must not import packages/viewer',
  ],
  [
    'an app on the command line',
    '../apps/page/src/x.ts',
    "import 'alveometer'",
    'must not import packages/cli',
  ],
  ['the decoder elsewhere', 'viewer/src/x.ts', "import 'itk-wasm'", 'only by packages/scan'],
  [
    'the 3D library elsewhere',
    '../apps/page/src/x.ts',
    "import '@kitware/vtk.js/Rendering'",
    'only by packages/viewer',
  ],
  ['elements elsewhere', 'scan/src/x.ts', "import 'lit'", 'only by packages/viewer and apps'],
  [
    'an undeclared library',
    'scan/src/x.ts',
    "import 'fflate/browser'",
    "'fflate' is not among the dependencies",
  ],
])('%s is reported', async (_, path, text, message) => {
  const reported = await check({ [join('packages', path)]: text })
  expect(reported).toEqual([expect.stringContaining(message)])
  expect(reported[0]).toContain(join('packages', path))
})

test('a circle is reported once, with the chain that closes it', async () => {
  const reported = await check({
    'packages/scan/src/index.ts': "export * from './a.js'",
    'packages/scan/src/a.ts': "import type { B } from './b.js'",
    'packages/scan/src/b.ts': "\nimport './c.js'",
    'packages/scan/src/c.ts': "import './a.js'",
  })
  expect(reported).toEqual([
    'packages/scan/src/a.ts:1: imports go round in a circle: packages/scan/src/a.ts:1 -> packages/scan/src/b.ts:2 -> packages/scan/src/c.ts:1 -> packages/scan/src/a.ts',
  ])
})

test('Node modules behind a browser entry are reported, also through a worker or another package', async () => {
  const reported = await check({
    'packages/scan/src/index.ts':
      "export const w = () => new Worker(new URL('./worker.js', import.meta.url))",
    'packages/scan/src/worker.ts': "import './files.js'",
    'packages/scan/src/files.ts': "import { readFile } from 'node:fs/promises'",
    'packages/viewer/src/index.ts': "import '@alveometer/scan/node'",
  })
  expect(reported).toEqual([
    expect.stringMatching(
      /^packages\/scan\/src\/files\.ts:1: scan must load in a browser.*index\.ts:1 -> .*worker\.ts:1/,
    ),
    expect.stringMatching(/^packages\/viewer\/src\/index\.ts:1: viewer must load in a browser/),
  ])
})
