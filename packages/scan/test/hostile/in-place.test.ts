import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createVolume } from '@alveometer/core'
import { createRandom, type Dataset, type SeriesOptions, writeSeries } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { loadScan } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import { chiralFiles, inputsOf, inSlice, phantom } from '../chiral.js'

const work = mkdtempSync(join(tmpdir(), 'alveometer-in-place-'))
afterAll(() => rmSync(work, { recursive: true }))

/** The 16 bit words of a slice, each changed. */
const words = (slice: Dataset, change: (word: number, n: number) => number): Uint8Array => {
  const bytes = Uint8Array.from(slice.PixelData as Uint8Array)
  const view = new DataView(bytes.buffer)
  for (let n = 0; 2 * n < bytes.length; n++)
    view.setUint16(2 * n, change(view.getUint16(2 * n, true), n) & 0xffff, true)
  return bytes
}
const random = createRandom(5)
const noise = () => Math.floor(random.uniform() * 65536)
const whole = { BitsStored: 16, HighBit: 15, RescaleIntercept: 0 }

/** Every way in which words become grey values, faulty ones included. */
const series: Readonly<Record<string, SeriesOptions>> = {
  'as they are': {},
  'from head to feet': { slices: Array.from({ length: 24 }, (_, n) => 23 - n) },
  'bits above Bits Stored': { overrides: (_, s) => ({ PixelData: words(s, (w) => w | 0xf000) }) },
  'values in the upper bits': {
    overrides: (_, s) => ({ HighBit: 15, PixelData: words(s, (w) => (w << 4) | 9) }),
  },
  '12 bits, signed': {
    overrides: (_, s) => ({
      PixelRepresentation: 1,
      RescaleIntercept: 0,
      PixelData: words(s, (w) => (w - 1000) & 0xfff),
    }),
  },
  'any 16 bits, unsigned': { overrides: (_, s) => ({ ...whole, PixelData: words(s, noise) }) },
  'any 16 bits, signed': {
    overrides: (_, s) => ({ ...whole, PixelRepresentation: 1, PixelData: words(s, noise) }),
  },
  'any 16 bits, unsigned, intercept -32768': {
    overrides: (_, s) => ({ ...whole, RescaleIntercept: -32768, PixelData: words(s, noise) }),
  },
  'one slice beyond 16 bit signed': {
    overrides: (k, s) => ({
      ...whole,
      RescaleIntercept: -1000,
      PixelData: words(s, (w) => (k === 20 && w === 0 ? 65535 : w)),
    }),
  },
  'negative slope': { overrides: { RescaleSlope: -1, RescaleIntercept: 900 } },
  'slope 2': { overrides: { RescaleSlope: 2, RescaleIntercept: -3000 } },
  'slope 0.25': { overrides: { RescaleSlope: 0.25 } },
  'one intercept of its own': { overrides: inSlice(6, { RescaleIntercept: 0 }) },
  'one slope of its own': { overrides: inSlice(6, { RescaleSlope: 0.5 }) },
  'one slice signed, the others not': { overrides: (k) => (k === 6 ? { PixelRepresentation: 1 } : {}) },
  'padding outside of Bits Stored': {
    overrides: (_, s) => ({
      PixelPaddingValue: { vr: 'US', value: 0xf448 },
      PixelData: words(s, (w, n) => (n % 5 ? w : 0xf448)),
    }),
  },
  'padding that takes a range': { overrides: { PixelPaddingValue: 0, PixelPaddingRangeLimit: 1000 } },
  'padding in one slice alone': { overrides: inSlice(9, { PixelPaddingValue: 0 }) },
  'no rescale': { overrides: { RescaleSlope: undefined, RescaleIntercept: undefined } },
  'inverted display': { overrides: { PhotometricInterpretation: 'MONOCHROME1' } },
  'big endian': { syntax: 'explicitBig' },
  'a missing slice': { slices: Array.from({ length: 24 }, (_, k) => k).filter((k) => k !== 11) },
  'a missing slice and padding': {
    slices: Array.from({ length: 24 }, (_, k) => k).filter((k) => k !== 11),
    overrides: { PixelPaddingValue: 0 },
  },
  sheared: { overrides: (k) => ({ ImagePositionPatient: [0, 0.05 * k, 0.3 * k] }) },
}

describe('read straight into the volume from disk, and through memory', () => {
  it.each(Object.entries(series))('%s: the same voxels, the same report', async (name, options) => {
    const files = chiralFiles(options)
    await expectSame(name, files)
  })

  it('signed words without rescale, with a field of padding', async () => {
    const volume = createVolume({
      data: Int16Array.from(phantom.data, (v, n) => (n % 32 < 4 ? -2000 : v)),
      shape: phantom.shape,
      indexToWorld: phantom.indexToWorld,
      noData: -2000,
    })
    await expectSame('signed', writeSeries(volume))
  })
})

async function expectSame(name: string, files: ReturnType<typeof chiralFiles>): Promise<void> {
  const folder = join(work, name)
  mkdirSync(folder)
  for (const file of files) writeFileSync(join(folder, file.name), file.bytes)
  const inputs = await inputsFromPath(folder)
  expect(inputs[0]?.readInto).toBeDefined()
  const [disk, memory] = [await loadScan(inputs), await loadScan(inputsOf(files))]
  expect(disk.volume.identity).toEqual(memory.volume.identity)
  expect(disk.volume.data).toEqual(memory.volume.data)
  expect(disk.volume.noData).toBe(memory.volume.noData)
  expect(disk.volume.grey).toEqual(memory.volume.grey)
  expect(disk.report).toEqual(memory.report)
}
