// `npm run bench [word]`: runs packages/*/bench/*.bench.mjs and writes docs/benchmarks.md.
//
// Each of these files exports `rows(context)`, sync or async, answering a list of Row; it imports the built packages.
// With a word only files whose path holds it run, and nothing is written.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { cpus, tmpdir, totalmem } from 'node:os'
import { join, relative, sep } from 'node:path'
import process from 'node:process'
import { pathToFileURL } from 'node:url'
import { findPython, measure, measureInTurns, runPython } from './bench-harness.mjs'
import { listFiles, root, runMain, Trouble, tsc } from './workspace.mjs'

/** @typedef {import('./bench-harness.mjs').Measured} Measured */
/** @typedef {{ name: string, median: number, checksum?: string, note?: string }} Peer the same work done by another, in the row's unit */
/**
 * `unit` is ms unless given; `checksum`, `p25` and `p75` may be missing where there is nothing to sum or to spread.
 * @typedef {{ name: string, median: number, p25?: number, p75?: number, checksum?: string, unit?: string, note?: string, peer?: Peer, peers?: readonly Peer[] }} Row
 */
/** @typedef {{ name: string, leftOut: string }} LeftOut what could not be measured on this machine, and why */
/**
 * `scratch` is a temporary folder that all files of a run share; it goes when the run ends.
 * @typedef {{ measure: typeof measure, measureInTurns: typeof measureInTurns, findPython: typeof findPython, runPython: typeof runPython, root: string, scratch: string }} Context
 */

/** Three significant digits; a benchmark has no more. */
const digits = (/** @type {number} */ value) => (value >= 1000 ? value.toFixed(0) : value.toPrecision(3))

const tableHead = [
  '| what | median | middle half | checksum | peer | its median | times the peer |',
  '|---|--:|--:|---|---|--:|--:|',
]

const line = (/** @type {readonly string[]} */ cells) => `| ${cells.join(' | ')} |`

/** A row, and below it one line for each further peer. */
function tableRows(/** @type {Row | LeftOut} */ row) {
  if ('leftOut' in row) return [line([row.name, '', '', `left out: ${row.leftOut}`, '', '', ''])]
  const { name, median, p25, p75, checksum = '', unit = 'ms', note } = row
  const spread = p25 === undefined || p75 === undefined ? '' : `${digits(p25)} to ${digits(p75)}`
  const what = note ? `${name}; ${note}` : name
  const ours = [what, `${digits(median)} ${unit}`, spread, checksum]
  const peers = [...(row.peer ? [row.peer] : []), ...(row.peers ?? [])]
  if (peers.length === 0) return [line([...ours, '', '', ''])]
  return peers.map((peer, n) => {
    const other = peer.note ? `${peer.name}; ${peer.note}` : peer.name
    const differs = peer.checksum !== undefined && peer.checksum !== checksum
    const cells = n === 0 ? ours : ['', '', '', '']
    if (differs) cells[3] = `${cells[3]} (peer ${peer.checksum})`
    return line([...cells, other, `${digits(peer.median)} ${unit}`, digits(median / peer.median)])
  })
}

function machine() {
  const processors = cpus()
  return [
    `- Processor: ${processors[0]?.model.trim() ?? 'unknown'}, ${processors.length} cores visible`,
    `- Memory: ${(totalmem() / 2 ** 30).toFixed(0)} GiB`,
    `- Node ${process.versions.node} (V8 ${process.versions.v8}), ${process.platform} ${process.arch}`,
    `- Date: ${new Date().toISOString().slice(0, 10)}`,
  ]
}

/** Runs one file and answers its part of the page. */
async function section(/** @type {string} */ file, /** @type {string} */ scratch) {
  const name = relative(root, file).split(sep).join('/')
  console.log(`\n${name}`)
  const { rows } = await import(pathToFileURL(file).href)
  if (typeof rows !== 'function') throw new Trouble(`${name} exports no function rows(context).`)
  const context = /** @satisfies {Context} */ ({
    measure,
    measureInTurns,
    findPython,
    runPython,
    root,
    scratch,
  })
  /** @type {(Row | LeftOut)[]} */
  const measured = await rows(context)
  const lines = [...tableHead, ...measured.flatMap(tableRows)]
  console.log(lines.join('\n'))
  return [
    `## ${name.replace(/^packages\//, '').replace(/\/bench\/(.*)\.bench\.mjs$/, ': $1')}`,
    '',
    ...lines,
    '',
  ]
}

await runMain(async () => {
  if ((await tsc(['-b'])) !== 0) return 1
  const word = process.argv[2]
  const files = listFiles(['packages']).filter(
    (file) => file.endsWith('.bench.mjs') && (!word || file.includes(word)),
  )
  if (files.length === 0) throw new Trouble('There is no packages/*/bench/*.bench.mjs to run.')
  const scratch = mkdtempSync(join(tmpdir(), 'alveometer-bench-'))
  // On the way out whatever the way is: the files are large.
  process.once('exit', () => rmSync(scratch, { recursive: true, force: true }))
  process.once('SIGINT', () => process.exit(130))
  process.once('SIGTERM', () => process.exit(143))
  const sections = []
  for (const file of files) sections.push(...(await section(file, scratch)))
  if (word) return 0
  const page = [
    '# Benchmarks',
    '',
    'Written by `npm run bench`. Median and middle half of the repeats; the checksum shows that the work was done and that',
    'it comes out the same everywhere. "Times the peer" below 1 means faster than the peer.',
    '',
    ...machine(),
    '',
    ...sections,
  ]
  mkdirSync(join(root, 'docs'), { recursive: true })
  writeFileSync(join(root, 'docs', 'benchmarks.md'), `${page.join('\n').trimEnd()}\n`)
  console.log('\nWritten to docs/benchmarks.md')
  return 0
})
