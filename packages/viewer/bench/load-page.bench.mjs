// Files picked in a page until their volume stands in memory: the engine's worker against itk-wasm's own readers of the
// same files, the longest stall of the page meanwhile and the most memory of its process. A fresh browser for each load,
// as nobody opens a scan twice in a row.
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { build, loadConfigFromFile } from 'vite'
import { compressedSlices, encodings, ensureCompressed } from '../../scan/bench/compressed.mjs'
import { describeSize, ensureSeries } from '../../scan/bench/series.mjs'
import { openFreshPage } from './fresh-page.mjs'

const ours = 'alveometer'
const cases = [
  { size: 'S', ways: [ours, 'itk-wasm', 'itk-wasm sorted'], repeats: 5 },
  { size: 'M', ways: [ours, 'itk-wasm', 'itk-wasm sorted'], repeats: 3 },
  { size: 'L', ways: [ours], repeats: 3 },
]
const names = {
  'itk-wasm': 'itk-wasm, default call',
  'itk-wasm sorted': 'itk-wasm, singleSortedSeries',
}

export async function rows({ measureInTurns, root, scratch }) {
  const script = (name) => import(pathToFileURL(join(root, 'scripts', name)).href)
  const { startServer } = await script('serve.mjs')
  const browser = await script('browser.mjs')
  const server = await startServer({ root: await buildPage(root, scratch), port: 0 })
  const tools = { measureInTurns, browser, url: server.url }
  try {
    const table = []
    for (const { size, ...how } of cases) {
      const series = ensureSeries(scratch, size)
      table.push(...(await oneSeries({ name: describeSize(size), ...series, ...how }, tools)))
    }
    return [...table, ...(await compressedRows(scratch, tools))]
  } finally {
    await server.close()
  }
}

async function compressedRows(scratch, tools) {
  const original = ensureSeries(scratch, 'S')
  const table = []
  for (const encoding of Object.keys(encodings)) {
    const name = `${compressedSlices} slices of S, ${encoding}`
    const series = await ensureCompressed(scratch, original, encoding)
    if (typeof series === 'string') table.push({ name, leftOut: `${series} is not installed` })
    else {
      const how = { ways: [ours, 'itk-wasm sorted'], repeats: 3 }
      table.push(...(await oneSeries({ name, ...series, ...how }, tools)).slice(0, 1))
    }
  }
  return table
}

/** The page of this bench, built the way the surgeon's page is, decoders included. */
async function buildPage(root, scratch) {
  const app = join(root, 'apps', 'chairside')
  const { config } = await loadConfigFromFile(
    { command: 'build', mode: 'production' },
    join(app, 'vite.config.ts'),
    app,
  )
  const outDir = join(scratch, 'load-page')
  await build({
    ...config,
    configFile: false,
    root: join(import.meta.dirname, 'load-page'),
    logLevel: 'warn',
    build: { ...config.build, outDir, emptyOutDir: true },
  })
  return outDir
}

async function oneSeries({ name, paths, volumeMb, ways, repeats }, { measureInTurns, browser, url }) {
  const loads = ways.map(() => [])
  const turns = ways.map((way, n) => ({
    name: names[way] ?? name,
    run: async () => {
      const load = await loadOnce(way, paths(), browser, url)
      loads[n].push(load)
      return load
    },
  }))
  const [time, ...others] = await measureInTurns(turns, { warmup: 0, repeats })
  const peers = others.map((other) => ({
    name: other.name,
    median: other.median,
    checksum: other.checksum,
  }))
  return [{ ...time, peers }, stallRow(name, ways, loads), memoryRow(name, ways, loads, volumeMb)]
}

function stallRow(name, ways, loads) {
  const quiet = middle(loads.flat().map(({ quietMs }) => quietMs))
  return {
    ...rowOf(`${name}: longest stall of the page`, 'ms', ways, loads, ({ stallMs }) => stallMs),
    note: `${quiet.toFixed(0)} ms with nothing to do`,
  }
}

function memoryRow(name, ways, loads, volumeMb) {
  const what = `${name}: peak memory of the page's process`
  if (loads[0][0].peakMb === undefined) return { name: what, leftOut: 'this system does not tell it' }
  const ratio = (mb) => `${(mb / volumeMb).toFixed(2)} x the volume`
  const { peers, ...ours } = rowOf(what, 'MB', ways, loads, ({ peakMb }) => peakMb)
  const idle = middle(loads.flat().map(({ idleMb }) => idleMb))
  return {
    ...ours,
    note: `${ratio(ours.median)}; ${idle.toFixed(0)} MB before loading`,
    peers: peers.map((peer) => ({ ...peer, note: ratio(peer.median) })),
  }
}

/** Another quantity of the same loads; the first way is ours. */
function rowOf(name, unit, ways, loads, of) {
  const [median, ...others] = loads.map((list) => middle(list.map(of)))
  return {
    name,
    unit,
    median,
    peers: others.map((other, n) => ({ name: names[ways[n + 1]], median: other })),
  }
}

async function loadOnce(way, paths, browser, url) {
  const { page, memory, close } = await openFreshPage(browser, url)
  try {
    await page.setInputFiles('input', paths)
    const quietMs = await page.evaluate((name) => window.bench.prepare(name), way)
    const before = await memory()
    const { ms, stallMs } = await page.evaluate(() => window.bench.load())
    const after = await memory()
    const checksum = await page.evaluate(() => window.bench.checksum())
    return { ms, stallMs, quietMs, idleMb: before?.nowMb, peakMb: after?.peakMb, checksum }
  } finally {
    await close()
  }
}

const middle = (values) => values.toSorted((a, b) => a - b)[values.length >> 1]
