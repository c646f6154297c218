import { execFileSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { createVolume } from '@alveometer/core'
import { type NamedBytes, writeSeries, zipSeries } from '@alveometer/phantom'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { describeMissing } from '../../../../tests/shared-data.js'

const size = 400
const volumeBytes = 2 * size ** 3
const folder = mkdtempSync(join(tmpdir(), 'alveometer-memory-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** 400 slices of 400 x 400: the value tells the place. As files in a folder, and the same in a zip. */
function writeLargeSeries(): void {
  const step = 0.2
  const files: NamedBytes[] = []
  mkdirSync(join(folder, 'slices'))
  for (let k = 0; k < size; k++) {
    const data = Int16Array.from({ length: size * size }, (_, p) => greyAt(p % size, Math.floor(p / size), k))
    const slice = createVolume({
      data,
      shape: [size, size, 1],
      indexToWorld: [step, 0, 0, 0, 0, step, 0, 0, 0, 0, step, 0, 0, 0, step * k, 1],
    })
    const ids = { SeriesInstanceUID: '2.25.1', StudyInstanceUID: '2.25.2', FrameOfReferenceUID: '2.25.3' }
    const [file] = writeSeries(slice, {
      seed: `slice ${k}`,
      overrides: { ...ids, InstanceNumber: k + 1 },
    })
    if (file) files.push({ ...file, name: `${k}.dcm` })
  }
  for (const { name, bytes } of files) writeFileSync(join(folder, 'slices', name), bytes)
  writeFileSync(join(folder, 'slices.zip'), zipSeries(files))
}
const greyAt = (i: number, j: number, k: number) => ((i + 3 * j + 7 * k) % 2000) - 500

/**
 * Loads with what is built, prints the memory in use before (proc(5), VmRSS: reading the modules has a peak of its own), the
 * most that ever was (VmHWM), and some voxels.
 */
const program = (library: URL, node: URL) => `
import { readFileSync } from 'node:fs'
const { inspectScan, loadScan } = await import('${library.href}')
const { inputsFromPath } = await import('${node.href}')
const told = (name) => 1024 * Number(new RegExp(name + ':[^0-9]*([0-9]+)').exec(readFileSync('/proc/self/status', 'utf8'))[1])
const before = told('VmRSS')
const inputs = await inputsFromPath(process.argv[1])
const { series } = await inspectScan(inputs)
const { volume } = await loadScan(inputs)
const voxels = process.argv.slice(2).map((n) => volume.data[Number(n)])
console.log(JSON.stringify({ before, after: told('VmHWM'), shape: volume.shape, voxels, memory: series[0].memory }))
`

const built = ['index.js', 'node.js'].map((f) => join(import.meta.dirname, '../../dist', f))
if (process.platform !== 'linux') describeMissing('peak memory', 'VmHWM is told by Linux alone')
else if (!built.every(existsSync)) describeMissing('peak memory', 'packages/scan is not built')
else
  describe('400 x 400 x 400 voxels in a heap of 64 MB', () => {
    beforeAll(writeLargeSeries, 120_000)

    it.each(['slices', 'slices.zip'])('%s: right, and with less memory than was estimated', (path) => {
      const picks = [0, 63_999_999, 12_345_678, 31_415_926]
      const [library, node] = built.map((f) => pathToFileURL(f)) as [URL, URL]
      const out = execFileSync(
        process.execPath,
        [
          '--max-old-space-size=64',
          '--input-type=module',
          '-e',
          program(library, node),
          join(folder, path),
          ...picks.map(String),
        ],
        { encoding: 'utf8' },
      )
      const { before, after, shape, voxels, memory } = JSON.parse(out) as {
        before: number
        after: number
        shape: number[]
        voxels: number[]
        memory: { volumeBytes: number; peakBytes: number }
      }
      expect(shape).toEqual([size, size, size])
      const place = (n: number) =>
        [n % size, Math.floor(n / size) % size, Math.floor(n / size / size)] as const
      expect(voxels).toEqual(picks.map((n) => greyAt(...place(n))))
      expect(memory.volumeBytes).toBe(volumeBytes)
      const used = after - before
      expect(used).toBeGreaterThan(volumeBytes * 0.9)
      // From a zip, up to 64 MB of unpacked files wait for their second reading.
      expect(used).toBeLessThan(memory.peakBytes + (path.endsWith('.zip') ? 64e6 : 0))
      // Readers that keep files, decoded slices and the volume side by side take about four times the files.
      expect(used).toBeLessThan(2.2 * volumeBytes)
    })
  })
