// How a benchmark measures: the median of repeats, its spread, and a checksum that shows the work was done.
import { spawnSync } from 'node:child_process'
import process from 'node:process'
import { Trouble } from './workspace.mjs'

/** @typedef {{ name: string, median: number, p25: number, p75: number, checksum: string }} Measured times in ms */

/**
 * One way to do a piece of work, timed by itself: in a process or a page of its own, say.
 * @typedef {{ name: string, run: () => Promise<{ ms: number, checksum?: string }> }} Way
 */

/** The value at a fraction of a sorted list, straight lines between neighbours (NumPy's default quantile). */
function quantile(/** @type {readonly number[]} */ sorted, /** @type {number} */ fraction) {
  const at = (sorted.length - 1) * fraction
  const low = sorted[Math.floor(at)] ?? Number.NaN
  const high = sorted[Math.ceil(at)] ?? Number.NaN
  return low + (high - low) * (at - Math.floor(at))
}

/** A short text that changes when the result does: numbers to 9 digits, lists as count and sum. */
export function checksum(/** @type {unknown} */ result) {
  if (typeof result === 'number') return Number(result.toPrecision(9)).toString()
  const list = /** @type {ArrayLike<number> | undefined} */ (
    Array.isArray(result) || (ArrayBuffer.isView(result) && 'length' in result) ? result : undefined
  )
  if (!list) return String(result)
  let sum = 0
  for (let i = 0; i < list.length; i++) sum += list[i] ?? 0
  return `${list.length}:${Number(sum.toPrecision(9))}`
}

/**
 * Times a function. What it returns is the checksum; a different one in another repeat is an error.
 * @param {string} name
 * @param {() => unknown} fn may be async
 * @param {{ warmup?: number, repeats?: number, per?: number }} [options] `per`: the function does the work so many times
 * @returns {Promise<Measured>} times in ms
 */
export async function measure(name, fn, { warmup = 3, repeats = 15, per = 1 } = {}) {
  const sums = new Set()
  for (let i = 0; i < warmup; i++) sums.add(checksum(await fn()))
  /** @type {number[]} */
  const times = []
  for (let i = 0; i < repeats; i++) {
    const start = performance.now()
    const result = await fn()
    times.push((performance.now() - start) / per)
    sums.add(checksum(result))
  }
  return summary(name, times, sums)
}

/**
 * Times several ways of doing the same work in turns, so that whatever else the machine is busy with meets all of them.
 * @param {readonly Way[]} ways
 * @param {{ warmup?: number, repeats?: number }} [options] rounds
 * @returns {Promise<Measured[]>} in the order of the ways
 */
export async function measureInTurns(ways, { warmup = 1, repeats = 5 } = {}) {
  const tallies = ways.map(({ name }) => ({
    name,
    times: /** @type {number[]} */ ([]),
    sums: /** @type {Set<string>} */ (new Set()),
  }))
  for (let round = 0; round < warmup + repeats; round++)
    for (const [n, { times, sums }] of tallies.entries()) {
      const { ms, checksum = '' } = await /** @type {Way} */ (ways[n]).run()
      sums.add(checksum)
      if (round >= warmup) times.push(ms)
    }
  return tallies.map(({ name, times, sums }) => summary(name, times, sums))
}

/**
 * @param {string} name
 * @param {number[]} times
 * @param {ReadonlySet<string>} sums
 * @returns {Measured}
 */
function summary(name, times, sums) {
  if (sums.size > 1) throw new Trouble(`${name}: the repeats differ in their result: ${[...sums].join(', ')}`)
  times.sort((a, b) => a - b)
  return {
    name,
    median: quantile(times, 0.5),
    p25: quantile(times, 0.25),
    p75: quantile(times, 0.75),
    checksum: String([...sums][0]),
  }
}

/**
 * A Python that has the modules: $PYTHON, the system's, the first on the PATH.
 * @param {readonly string[]} [modules]
 * @returns {string | undefined}
 */
export function findPython(modules = ['numpy', 'scipy']) {
  const candidates = [process.env.PYTHON, '/usr/bin/python3', 'python3', 'python'].filter(
    (it) => it !== undefined,
  )
  return candidates.find((it) => it && spawnSync(it, ['-c', `import ${modules.join(', ')}`]).status === 0)
}

/**
 * Runs a Python script that prints one JSON value, e.g. the times of a peer.
 * @param {string} script path of the .py file
 * @param {readonly string[]} [args]
 * @param {{ modules?: readonly string[], input?: string | Uint8Array }} [options] input: what it reads from stdin
 * @returns {unknown} the value, or undefined where no such Python is installed
 */
export function runPython(script, args = [], { modules, input } = {}) {
  const python = findPython(modules)
  if (!python) return undefined
  const done = spawnSync(python, [script, ...args], { input, encoding: 'utf8', maxBuffer: 1 << 28 })
  if (done.status !== 0) throw new Trouble(`${script} failed:\n${done.stderr}`)
  return JSON.parse(done.stdout)
}
