// `npm run bench [word]`: runs packages/*/bench/*.bench.mjs and writes docs/benchmarks.md.
//
// Each of these files exports `rows(context)`, sync or async, answering a list of Row; it imports the built packages.
// With a word only files whose path holds it run, and nothing is written.
import { mkdirSync, writeFileSync } from 'node:fs'
import { cpus, totalmem } from 'node:os'
import { join, relative, sep } from 'node:path'
import process from 'node:process'
import { pathToFileURL } from 'node:url'
import { findPython, measure, runPython } from './bench-harness.mjs'
import { listFiles, root, runMain, Trouble, tsc } from './workspace.mjs'

/**
 * @typedef {import('./bench-harness.mjs').Measured} Measured
 * @typedef {Measured & { peer?: { name: string, median: number, checksum?: string } }} Row peer: the same work done by another, in ms
 * @typedef {{ measure: typeof measure, findPython: typeof findPython, runPython: typeof runPython, root: string }} Context
 */

/** Three significant digits; a benchmark has no more. */
const digits = (/** @type {number} */ value) => (value >= 1000 ? value.toFixed(0) : value.toPrecision(3))

const tableHead = [
  '| what | median ms | middle half ms | checksum | peer | peer ms | times the peer |',
  '|---|--:|--:|---|---|--:|--:|',
]

function tableRow(/** @type {Row} */ { name, median, p25, p75, checksum, peer }) {
  const sum =
    peer?.checksum === undefined || peer.checksum === checksum
      ? checksum
      : `${checksum} (peer ${peer.checksum})`
  const cells = [name, digits(median), `${digits(p25)} to ${digits(p75)}`, sum]
  const others = peer ? [peer.name, digits(peer.median), digits(median / peer.median)] : ['', '', '']
  return `| ${[...cells, ...others].join(' | ')} |`
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
async function section(/** @type {string} */ file) {
  const name = relative(root, file).split(sep).join('/')
  console.log(`\n${name}`)
  const { rows } = await import(pathToFileURL(file).href)
  if (typeof rows !== 'function') throw new Trouble(`${name} exports no function rows(context).`)
  /** @type {Row[]} */
  const measured = await rows(/** @satisfies {Context} */ ({ measure, findPython, runPython, root }))
  const lines = [...tableHead, ...measured.map(tableRow)]
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
  const sections = []
  for (const file of files) sections.push(...(await section(file)))
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
