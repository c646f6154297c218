// Shared by the scripts of this folder. Only node: imports, because setup.mjs runs before anything is installed.
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  closeSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import process from 'node:process'
import { setTimeout as wait } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'

/** The repository's top folder. */
export const root = dirname(dirname(fileURLToPath(import.meta.url)))

/** A failure that is explained to the user in words, without a stack. */
export class Trouble extends Error {}

/** True when the module at this URL is the one Node was started with. */
export const isMain = (/** @type {string} */ url) =>
  process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(url)

/**
 * Runs a script's main function and turns what it throws into words and an exit code.
 * @param {() => void | number | Promise<void | number>} main may return the exit code
 */
export async function runMain(main) {
  try {
    process.exitCode = (await main()) || 0
  } catch (error) {
    console.error(error instanceof Trouble ? `\n${error.message}\n` : error)
    process.exitCode = 1
  }
}

/** Every file at or below the paths given (relative to `base`), sorted; dot files and build output left out. */
export function listFiles(/** @type {readonly string[]} */ paths, base = root) {
  /** @type {string[]} */
  const found = []
  const visit = (/** @type {string} */ path) => {
    const stat = statSync(path, { throwIfNoEntry: false })
    if (stat?.isFile()) found.push(path)
    if (!stat?.isDirectory()) return
    for (const name of readdirSync(path)) {
      if (!name.startsWith('.') && name !== 'node_modules' && name !== 'generated') visit(join(path, name))
    }
  }
  for (const path of paths) visit(join(base, path))
  return found.sort()
}

/** One fingerprint of the names and contents of all files at or below the paths given (relative to the root). */
export function hashFiles(/** @type {readonly string[]} */ paths) {
  const hash = createHash('sha1')
  for (const file of listFiles(paths)) hash.update(`${relative(root, file)}\0`).update(readFileSync(file))
  return hash.digest('hex')
}

/** A file's text, or undefined where there is none. */
export function readIfThere(/** @type {string} */ path) {
  try {
    return readFileSync(path, 'utf8').trim()
  } catch {
    return undefined
  }
}

/**
 * Runs a program with our terminal and answers its exit code.
 * @param {string} command
 * @param {readonly string[]} args
 * @param {{ env?: NodeJS.ProcessEnv, cwd?: string, shell?: boolean }} [options]
 * @returns {Promise<number>}
 */
export const run = (command, args, options = {}) =>
  new Promise((done) => {
    const child = spawn(command, [...args], { cwd: root, stdio: 'inherit', ...options })
    child.on('error', (error) => {
      console.error(`${command} could not be started: ${error.message}`)
      done(1)
    })
    child.on('close', (code) => done(code ?? 1))
  })

/** Runs an installed tool by its script, so that no shell and no .cmd wrapper is needed on any system. */
const tool =
  (/** @type {string} */ script) =>
  (/** @type {readonly string[]} */ args, options = {}) =>
    run(process.execPath, [join(root, 'node_modules', script), ...args], options)

export const tsc = tool('typescript/bin/tsc')
export const vite = tool('vite/bin/vite.js')
export const vitest = tool('vitest/vitest.mjs')
export const biome = tool('@biomejs/biome/bin/biome')

/** True while the process that wrote the lock file lives. */
function isHeld(/** @type {string} */ path) {
  const pid = Number(readIfThere(path))
  // An empty file is one that is being written this moment, or was left by a crash long ago.
  if (!pid) return Date.now() - (statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0) < 10_000
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return /** @type {NodeJS.ErrnoException} */ (error).code === 'EPERM'
  }
}

/**
 * Does the work while no other run of these scripts does the same, e.g. a start and a test at one time.
 * @template T
 * @param {string} name
 * @param {() => T | Promise<T>} work
 * @returns {Promise<T>}
 */
export async function withLock(name, work) {
  const path = join(root, '.cache', `${name}.lock`)
  mkdirSync(dirname(path), { recursive: true })
  for (let announced = false; ; ) {
    try {
      const file = openSync(path, 'wx')
      writeSync(file, String(process.pid))
      closeSync(file)
      break
    } catch (error) {
      if (/** @type {NodeJS.ErrnoException} */ (error).code !== 'EEXIST') throw error
      if (!isHeld(path)) {
        rmSync(path, { force: true })
        continue
      }
      if (!announced) console.log(`Waiting for another run to finish (${name}) ...`)
      announced = true
      await wait(300)
    }
  }
  try {
    return await work()
  } finally {
    rmSync(path, { force: true })
  }
}
