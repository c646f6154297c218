// Reading compressed series from disk in Node: ours with nodeDecoder() against itk-wasm's own reader of the same files.
import { compressedSlices, encodings, ensureCompressed } from './compressed.mjs'
import { nodeLoader } from './loader.mjs'
import { ensureSeries } from './series.mjs'

export async function rows({ measureInTurns, scratch }) {
  const original = ensureSeries(scratch, 'S')
  const table = []
  for (const encoding of Object.keys(encodings)) {
    const name = `${compressedSlices} slices of S, ${encoding}`
    const series = await ensureCompressed(scratch, original, encoding)
    if (typeof series === 'string') table.push({ name, leftOut: `${series} is not installed` })
    else table.push(await oneEncoding(name, series.folder, measureInTurns))
  }
  return table
}

async function oneEncoding(name, folder, measureInTurns) {
  const readers = [nodeLoader('alveometer'), nodeLoader('itk-wasm')]
  try {
    const ways = readers.map(({ load }, n) => ({
      name: n === 0 ? name : '@itk-wasm/dicom',
      run: () => load(folder),
    }))
    const [ours, { name: peer, median, checksum }] = await measureInTurns(ways, { warmup: 1, repeats: 3 })
    return { ...ours, peer: { name: peer, median, checksum } }
  } finally {
    for (const { stop } of readers) stop()
  }
}
