// Finds, or where it can installs, a Chromium for the tests that need a real browser.
import { accessSync, constants, existsSync } from 'node:fs'
import { createRequire } from 'node:module'
import { delimiter, join } from 'node:path'
import process from 'node:process'
import { isMain, run, runMain } from './workspace.mjs'

const names = ['chromium', 'chromium-browser', 'google-chrome', 'chrome']

/** Where installers put it on systems that do not put it on the PATH. */
const usualPlaces = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  join(process.env.PROGRAMFILES ?? 'C:\\Program Files', 'Google', 'Chrome', 'Application', 'chrome.exe'),
]

function isProgram(/** @type {string} */ path) {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}

/** Where Playwright would have put its own Chromium. */
function playwrightsOwn() {
  try {
    return createRequire(import.meta.url)('playwright').chromium.executablePath()
  } catch {
    return ''
  }
}

/** What a headless Chromium is started with in tests and benchmarks: no sandbox (root), nothing asked of the network. */
export const browserArguments = [
  '--no-sandbox',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/**
 * The path of a Chromium on this machine: CHROMIUM_PATH, one on the PATH, a usual place, Playwright's own.
 * @returns {string | undefined}
 */
export function findBrowser() {
  const asked = process.env.CHROMIUM_PATH
  if (asked && isProgram(asked)) return asked
  if (asked) console.error(`CHROMIUM_PATH is "${asked}", which is no program; looking elsewhere.`)
  const suffix = process.platform === 'win32' ? '.exe' : ''
  const onPath = (process.env.PATH ?? '').split(delimiter).filter(Boolean)
  return [
    ...names.flatMap((name) => onPath.map((folder) => join(folder, name + suffix))),
    ...usualPlaces,
    playwrightsOwn(),
  ].find((path) => path !== '' && isProgram(path))
}

/**
 * Like `findBrowser`, but installs one where there is none: Debian's where we may, else Playwright's.
 * @returns {Promise<string | undefined>}
 */
export async function provideBrowser() {
  const found = findBrowser()
  if (found) return found
  if (process.getuid?.() === 0 && existsSync('/etc/debian_version')) {
    console.log('No Chromium here: installing the one of the system ...')
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
    await run('apt-get', ['update', '-qq'], { env })
    await run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium'], { env })
    const installed = findBrowser()
    if (installed) return installed
  }
  console.log('No Chromium here: asking Playwright to fetch its own ...')
  await run('npx', ['playwright', 'install', 'chromium'], { shell: process.platform === 'win32' })
  return findBrowser()
}

if (isMain(import.meta.url)) {
  await runMain(() => {
    const path = findBrowser()
    console.log(path ?? 'There is no Chromium on this machine.')
    return path ? 0 : 1
  })
}
