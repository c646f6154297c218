// Builds the surgeon's page into apps/chairside/dist.
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { hashFiles, isMain, readIfThere, root, runMain, Trouble, vite, withLock } from './workspace.mjs'

const app = join(root, 'apps', 'chairside')

/** The built page. */
export const pageFolder = join(app, 'dist')

const inputs = [
  'docs/load-report',
  'package-lock.json',
  'tsconfig.base.json',
  ...['index.html', 'package.json', 'tsconfig.json', 'vite.config.ts', 'src', 'public'].map(
    (name) => `apps/chairside/${name}`,
  ),
  ...['core', 'scan', 'phantom', 'handover', 'viewer'].flatMap((name) => [
    `packages/${name}/package.json`,
    `packages/${name}/tsconfig.json`,
    `packages/${name}/src`,
  ]),
]

/** Builds the page unless it is there already, built from the same sources. */
export async function ensurePage() {
  const stamp = join(pageFolder, '.inputs')
  const wanted = hashFiles(inputs)
  if (readIfThere(stamp) === wanted && existsSync(join(pageFolder, 'index.html'))) return
  await withLock('page', async () => {
    if (readIfThere(stamp) === wanted) return
    console.log('Building the page ...')
    const code = await vite(['build', '--logLevel', 'warn'], { cwd: app })
    if (code !== 0) throw new Trouble('Building the page failed; the reason stands above.')
    writeFileSync(stamp, `${wanted}\n`)
  })
}

if (isMain(import.meta.url)) await runMain(ensurePage)
