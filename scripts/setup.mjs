// Runs before `npm start` and `npm test`: installs the packages when they are not those of the lock file.
import { createHash } from 'node:crypto'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import process from 'node:process'
import { isMain, readIfThere, root, run, runMain, Trouble, withLock } from './workspace.mjs'

/** Says what to do where this Node is one the build tools do not run on (vite: ^20.19 or >=22.12). */
export function checkNode(version = process.versions.node) {
  const [major = 0, minor = 0] = version.split('.').map(Number)
  const fits = (major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major > 22
  if (fits) return
  throw new Trouble(
    `This is Node ${version}, on which Alveometer cannot be built. It needs Node 20.19 or newer ` +
      '(not 21, and of 22 at least 22.12). Install a current Node from https://nodejs.org and try again.',
  )
}

/** The environment without what the calling npm put there: `npm test --omit=dev` must not reach the install. */
const cleanEnvironment = () =>
  Object.fromEntries(Object.entries(process.env).filter(([name]) => !/^npm_/i.test(name)))

/**
 * True when npm's own record of what it installed says the same as the lock file, as after `npm install` by hand.
 * Packages for other systems are optional and may be absent.
 */
function isInstalled() {
  const record = readIfThere(join(root, 'node_modules', '.package-lock.json'))
  if (!record) return false
  const installed = JSON.parse(record).packages
  const wanted = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages
  return Object.entries(wanted).every(([path, { version, integrity, link, optional }]) => {
    const there = installed[path]
    if (!path.includes('node_modules/') || (optional && !there)) return true
    return Boolean(there) && (link ? there.link : there.version === version && there.integrity === integrity)
  })
}

/** Installs exactly what the lock file lists, unless that has been done. Ends with the packages built. */
export async function setUp() {
  checkNode()
  const stamp = join(root, 'node_modules', '.stamp')
  const lockFileHash = () =>
    createHash('sha1')
      .update(readFileSync(join(root, 'package-lock.json')))
      .digest('hex')
  if (readIfThere(stamp) === lockFileHash()) return
  await withLock('install', async () => {
    const wanted = lockFileHash()
    if (readIfThere(stamp) === wanted) return
    if (isInstalled()) return writeFileSync(stamp, `${wanted}\n`)
    console.log('Installing the packages of package-lock.json (once) ...')
    const code = await run('npm', ['ci', '--include=dev', '--no-audit', '--no-fund'], {
      env: cleanEnvironment(),
      shell: process.platform === 'win32',
    })
    if (code !== 0) {
      throw new Trouble(
        `Installing or building the packages failed (npm ci ended with ${code}); the reason stands above. ` +
          'The first run needs a connection to the npm registry.',
      )
    }
    writeFileSync(stamp, `${wanted}\n`)
  })
}

if (isMain(import.meta.url)) await runMain(setUp)
