// Loads the files in the page's input in one of several ways; what there is to measure from inside stands on window.bench.
import { createVolume } from '@alveometer/core'
import { Engine } from '@alveometer/viewer'
import { readImageDicomFileSeries, setPipelinesBaseUrl } from '@itk-wasm/dicom'

const pipelines = new URL('itk/pipelines', document.baseURI).href
setPipelinesBaseUrl(pipelines)
const files = () => [...document.querySelector('input').files]

/** Each gets ready first, as far as a page would before its user has chosen files, and answers what loads them. */
const ways = {
  alveometer() {
    const engine = new Engine(undefined, pipelines)
    return async () => {
      const { facts } = await engine.open({ kind: 'files', files: files() })
      return () => facts.fingerprint
    }
  },
  'itk-wasm': () => () => itk({ inputImages: files() }),
  'itk-wasm sorted': () => () => itk({ inputImages: files(), singleSortedSeries: true }),
}

async function itk(options) {
  const { outputImage } = await readImageDicomFileSeries(options)
  return () => fingerprintOf(outputImage)
}

/** Of the same voxels at the same place, as our own loader would give it. itk-wasm's directions stand row by row. */
function fingerprintOf({ data, size, origin, spacing, direction }) {
  const axis = (n) => [0, 1, 2].map((row) => direction[3 * row + n] * spacing[n])
  const indexToWorld = [...axis(0), 0, ...axis(1), 0, ...axis(2), 0, ...origin, 1]
  return createVolume({ data: Int16Array.from(data), shape: size, indexToWorld }).identity.fingerprint
}

/** The longest time that the page could not have answered its user: the widest gap between ticks 5 ms apart. */
function watchStalls() {
  let longest = 0
  let last = performance.now()
  let timer = setTimeout(tick, 5)
  function tick() {
    const now = performance.now()
    longest = Math.max(longest, now - last)
    last = now
    timer = setTimeout(tick, 5)
  }
  return () => {
    clearTimeout(timer)
    return Math.max(longest, performance.now() - last)
  }
}

const pause = (ms) => new Promise((done) => setTimeout(done, ms))

let load = null
let result = null

window.bench = {
  /** Resolves to the longest stall of a second in which nothing happens: what the machine does by itself. */
  async prepare(way) {
    load = ways[way]()
    await pause(500)
    const stalls = watchStalls()
    await pause(1000)
    return stalls()
  },
  async load() {
    const stalls = watchStalls()
    const start = performance.now()
    result = await load()
    const ms = performance.now() - start
    return { ms, stallMs: stalls() }
  },
  /** Apart from the rest, so that neither its time nor its memory counts. */
  checksum: () => result(),
}
