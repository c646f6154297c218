// Reading a series from disk into one array in Node, against other readers of the same files, and what memory it takes.
//
// Every reader runs in a process of its own; they take turns, and all files were read before, so that they come from the
// memory of the system. The first load of a fresh process shows its peak; the loads after it are timed. Our range and
// fingerprint are made when somebody asks for them; the others have neither, and their time stands beside ours.
import { nodeLoader, pythonLoader } from './loader.mjs'
import { describeSize, ensureSeries } from './series.mjs'

const cases = [
  { size: 'S', storage: 'signed', repeats: 9 },
  { size: 'S', storage: 'offset', repeats: 9 },
  { size: 'M', storage: 'signed', repeats: 7 },
  { size: 'L', storage: 'signed', repeats: 3 },
]

export async function rows({ measureInTurns, findPython, scratch }) {
  const python = findPython(['numpy', 'pydicom'])
  const table = []
  for (const it of cases) table.push(...(await oneSeries(it, { measureInTurns, python, scratch })))
  if (python === undefined)
    table.push({ name: 'pydicom + NumPy', leftOut: 'no Python with numpy and pydicom' })
  return table
}

async function oneSeries({ size, storage, repeats }, { measureInTurns, python, scratch }) {
  const { folder, volumeMb } = ensureSeries(scratch, size, storage)
  const readers = [
    { name: describeSize(size), ...nodeLoader('alveometer') },
    { name: '@itk-wasm/dicom', ...nodeLoader('itk-wasm') },
    ...(python ? [{ name: 'pydicom + NumPy', ...pythonLoader(python) }] : []),
    { name: 'the bytes alone, all kept', ...nodeLoader('bytes') },
    { name: 'the bytes alone, each file let go', ...nodeLoader('passing-bytes') },
  ]
  try {
    const first = []
    for (const { load } of readers) first.push(await load(folder))
    const ways = readers.map(({ name, load }) => ({ name, run: () => load(folder) }))
    const [ours, ...peers] = await measureInTurns(ways, { warmup: 1, repeats })
    const words = storage === 'signed' ? 'signed 16 bit' : 'unsigned 12 bit, offset -1000'
    const name = `${ours.name}, ${words}`
    return [
      { ...ours, name, note: firstLoad(first[0]), peers: peers.map(comparable) },
      memoryRow(name, volumeMb, readers, first),
    ]
  } finally {
    for (const { stop } of readers) stop()
  }
}

const firstLoad = ({ ms, laterMs }) =>
  `first load ${Math.round(ms)} ms; range and fingerprint ${Math.round(laterMs)} ms when asked for`

/** Bytes have no voxels to sum. */
const comparable = ({ name, median, checksum }) => ({ name, median, ...(checksum ? { checksum } : {}) })

/** Peak of the whole process, Node itself included, over one load. */
function memoryRow(name, volumeMb, readers, first) {
  const ratio = (mb) => `${(mb / volumeMb).toFixed(2)} x the volume`
  const bar = 1.25 * volumeMb + 100
  const [ours, ...others] = first
  return {
    name: `${name}: peak memory`,
    unit: 'MB',
    median: ours.peakMb,
    note: `${ratio(ours.peakMb)}; at most ${bar.toFixed(0)} MB are wanted`,
    peers: others
      .map(({ peakMb }, n) => ({ name: readers[n + 1].name, median: peakMb, note: ratio(peakMb) }))
      .filter(({ name }) => !name.startsWith('the bytes')),
  }
}
