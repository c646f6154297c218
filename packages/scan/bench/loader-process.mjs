// One way to read a series, in a process of its own: for each folder on stdin one line of JSON with time, voxels and peak.
import { readdirSync, readFileSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import process from 'node:process'
import { createInterface } from 'node:readline'

const pathsIn = (folder) =>
  readdirSync(folder)
    .sort()
    .map((name) => join(folder, name))

/**
 * Each answers a function from a folder to all voxels, and where there is more to be had of them later, what makes it.
 * What is imported before is not timed.
 */
const loaders = {
  async alveometer() {
    const { loadScan } = await import('../dist/index.js')
    const { inputsFromPath, nodeDecoder } = await import('../dist/node.js')
    return async (folder) => {
      const { volume } = await loadScan(await inputsFromPath(folder), { decoder: nodeDecoder() })
      return { voxels: volume.data, later: () => [volume.grey.minimum, volume.identity.fingerprint] }
    }
  },
  async 'itk-wasm'() {
    const { readImageDicomFileSeriesNode } = await import('@itk-wasm/dicom')
    return async (folder) => {
      const { outputImage } = await readImageDicomFileSeriesNode({ inputImages: pathsIn(folder) })
      return { voxels: outputImage.data }
    }
  },
  /** Nothing but the bytes of all files, 8 in flight, all in memory in the end as the voxels of a volume are. */
  bytes: async () => (folder) => readAll(folder, []),
  /** The same without keeping them, so that a few megabytes are filled over and over. */
  'passing-bytes': async () => (folder) => readAll(folder, null),
}

async function readAll(folder, kept) {
  const paths = pathsIn(folder)
  const reader = async () => {
    for (let path = paths.pop(); path !== undefined; path = paths.pop()) {
      const bytes = await readFile(path)
      kept?.push(bytes)
    }
  }
  await Promise.all(Array.from({ length: 8 }, reader))
  return {}
}

/** The most memory this process ever held, in MB. The kernel's own mark; elsewhere what Node can tell. */
function peakMb() {
  try {
    return (1.024 * Number(/VmHWM:\s+(\d+) kB/.exec(readFileSync('/proc/self/status', 'utf8'))?.[1])) / 1000
  } catch {
    return (1.024 * process.resourceUsage().maxRSS) / 1000
  }
}

const load = await loaders[process.argv[2]]()
// What a library prints must not be taken for an answer.
const answer = (value) => process.stdout.write(`${JSON.stringify(value)}\n`)
console.log = console.error
for await (const folder of createInterface({ input: process.stdin })) {
  const start = performance.now()
  const { voxels, later } = await load(folder)
  const ms = performance.now() - start
  const peak = peakMb()
  later?.()
  const laterMs = performance.now() - start - ms
  let sum = 0
  for (let i = 0; i < (voxels?.length ?? 0); i++) sum += voxels[i]
  answer({ ms, laterMs, peakMb: peak, checksum: voxels ? `${voxels.length}:${sum}` : undefined })
}
