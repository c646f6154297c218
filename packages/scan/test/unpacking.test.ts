import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { crc32 as zlibCrc32 } from 'node:zlib'
import { zipSeries } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { inputFromBytes, inputsFromFiles, loadScan, type ScanInput } from '../src/index.js'
import { crc32 } from '../src/inputs/crc32.js'
import { inputsFromZip } from '../src/inputs/index.js'
import { inputsFromPath } from '../src/node.js'
import { chiralFiles, expectSameAsPhantom } from './chiral.js'

const folder = mkdtempSync(join(tmpdir(), 'alveometer-unpacking-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** The same zip by each way of unpacking. */
const ways: Readonly<Record<string, (zip: Uint8Array) => Promise<readonly ScanInput[]>>> = {
  'our own code': async (zip) => [inputFromBytes('scan.zip', zip)],
  zlib: (zip) => {
    writeFileSync(join(folder, 'scan.zip'), zip)
    return inputsFromPath(join(folder, 'scan.zip'))
  },
  DecompressionStream: async (zip) =>
    inputsFromFiles([new File([zip as Uint8Array<ArrayBuffer>], 'scan.zip')]),
  'a platform without it': async (zip) => [
    { ...inputFromBytes('scan.zip', zip), inflate: () => Promise.reject(new TypeError('unknown format')) },
  ],
}

const whole = () => Uint8Array.from(zipSeries(chiralFiles()))
const END = 22
const firstCentral = (zip: Uint8Array) => view(zip).getUint32(zip.length - END + 16, true)
const view = (zip: Uint8Array) => new DataView(zip.buffer)

/** Where the packed bytes of the first entry start. */
const firstPacked = (zip: Uint8Array) => 30 + view(zip).getUint16(26, true) + view(zip).getUint16(28, true)

const damages: Readonly<Record<string, (zip: Uint8Array) => void>> = {
  'a packed byte changed': (zip) => {
    zip[firstPacked(zip) + 40] = (zip[firstPacked(zip) + 40] as number) ^ 0xff
  },
  'another check sum': (zip) => view(zip).setUint32(firstCentral(zip) + 16, 12345, true),
  'one byte more than it says': (zip) => addToSize(zip, -1),
  'one byte less than it says': (zip) => addToSize(zip, 1),
  'packed bytes that end too early': (zip) => {
    const at = firstCentral(zip) + 20
    view(zip).setUint32(at, view(zip).getUint32(at, true) - 9, true)
  },
}

function addToSize(zip: Uint8Array, more: number) {
  const at = firstCentral(zip) + 24
  view(zip).setUint32(at, view(zip).getUint32(at, true) + more, true)
}

describe.each(Object.entries(ways))('a zip unpacked by %s', (_, inputsOf) => {
  it('becomes the volume', async () => {
    const { volume, report } = await loadScan(await inputsOf(whole()))
    expectSameAsPhantom(volume)
    expect(report).toEqual([])
  })

  it.each(Object.entries(damages))('with %s is refused by name', async (_, damage) => {
    const zip = whole()
    damage(zip)
    const refused = await loadScan(await inputsOf(zip)).catch((error: unknown) => error)
    expect(refused).toMatchObject({
      report: expect.arrayContaining([expect.objectContaining({ code: 'zip-damaged' })]),
    })
  })
})

it('an entry is unpacked once for its header and its pixels', async () => {
  let unpacked = 0
  const zip: ScanInput = {
    ...inputFromBytes('scan.zip', whole()),
    inflate: async (packed, size) => {
      unpacked++
      const { inflateSync } = await import('fflate')
      return inflateSync(packed, { out: new Uint8Array(size) })
    },
  }
  const [entry] = await inputsFromZip(zip)
  const head = await entry?.read(0, 100)
  const rest = await entry?.read(100)
  expect(head?.length).toBe(100)
  expect(rest?.length).toBe((entry?.size ?? 0) - 100)
  expect(unpacked).toBe(1)
})

// "123456789" and CBF43926: the check value of CRC-32 in the catalogue of parametrised CRC algorithms (CRC-32/ISO-HDLC).
it('the check sum has its published check value', () => {
  expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926)
})

it.skipIf(zlibCrc32 === undefined)('the check sum is that of zlib at every length', () => {
  const bytes = Uint8Array.from({ length: 300 }, (_, i) => (i * i * 31 + 7 * i) & 0xff)
  for (let length = 0; length <= bytes.length; length++) {
    const part = bytes.subarray(300 - length)
    expect(crc32(part)).toBe(zlibCrc32(part))
  }
})
