import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import {
  type Dataset,
  encapsulate,
  type NamedBytes,
  type SeriesOptions,
  writeSeries,
} from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeMissing, describeWithData } from '../../../../tests/shared-data.js'
import { readFrames } from '../../src/decode/index.js'
import { readHeader } from '../../src/headers/index.js'
import { inputsFromPath, nodeDecoder } from '../../src/node.js'
import { FindingError } from '../../src/report/index.js'
import { chiralFiles, codes, expectSameAsPhantom, load, phantom, refusal } from '../chiral.js'

const JPEG_2000_LOSSLESS = '1.2.840.10008.1.2.4.90'
const decoder = nodeDecoder()
const work = mkdtempSync(join(tmpdir(), 'alveometer-encodings-'))
afterAll(() => rmSync(work, { recursive: true }))

/** 16 bit words as a JPEG 2000 codestream made by OpenJPEG, its samples marked as signed or not. */
function jpeg2000(words: Uint8Array, signed: boolean): Uint8Array {
  const [raw, packed] = [join(work, 'slice.rawl'), join(work, 'slice.j2k')]
  writeFileSync(raw, words)
  execFileSync('opj_compress', ['-i', raw, '-o', packed, '-F', `32,32,1,16,${signed ? 's' : 'u'}`], {
    stdio: 'ignore',
  })
  return Uint8Array.from(readFileSync(packed))
}

/** The phantom, signed from -1000, every slice compressed; `signed` is what the codestreams say. */
const compressed = (signed: boolean, more: (k: number) => Dataset = () => ({})): NamedBytes[] =>
  writeSeries(phantom, {
    meta: { TransferSyntaxUID: JPEG_2000_LOSSLESS },
    overrides: (k, slice) => ({
      ...encapsulate([jpeg2000(slice.PixelData as Uint8Array, signed)]),
      ...more(k),
    }),
  })

if (spawnSync('opj_compress', ['-h']).error) describeMissing('JPEG 2000 by OpenJPEG', 'no opj_compress')
else
  describe('JPEG 2000 by OpenJPEG, signed values from -1000', () => {
    it('a codestream of signed samples: as the uncompressed twin, nothing to report', async () => {
      const { volume, report } = await load(compressed(true), { decoder })
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    })

    it('a codestream that calls them unsigned: the header is followed, with a note', async () => {
      const { volume, report } = await load(compressed(false), { decoder })
      expectSameAsPhantom(volume)
      expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'sign-disagrees']])
      expect(report[0]?.facts?.slices).toBe(24)
    })

    it('an unsigned header over a codestream of signed samples: the header is followed, with a note', async () => {
      // Stored 0 to 2700 in words that the codestream calls signed.
      const files = chiralFiles({
        meta: { TransferSyntaxUID: JPEG_2000_LOSSLESS },
        overrides: (_, slice) => encapsulate([jpeg2000(slice.PixelData as Uint8Array, true)]),
      })
      const { volume, report } = await load(files, { decoder })
      expectSameAsPhantom(volume)
      expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'sign-disagrees']])
    })

    it('compressed without loss from what was once lossy: warned of', async () => {
      const { report } = await load(
        compressed(true, () => ({ LossyImageCompression: '01' })),
        { decoder },
      )
      expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'lossy-compression']])
    })

    it('one slice cut within its codestream: refused, its file named', async () => {
      const files = writeSeries(phantom, {
        meta: { TransferSyntaxUID: JPEG_2000_LOSSLESS },
        overrides: (k, slice) => {
          const stream = jpeg2000(slice.PixelData as Uint8Array, true)
          return encapsulate([k === 8 ? stream.subarray(0, stream.length >> 1) : stream])
        },
      })
      const error = await refusal(files, { decoder })
      expect(codes(error.report.filter((r) => r.level === 'block'))).toEqual(['decode-failed'])
      expect(error.message).toContain('IM0009.dcm')
    })
  })

if (spawnSync('dcmcjpls', ['--version']).error) describeMissing('JPEG-LS by dcmtk', 'no dcmcjpls')
else
  describe('JPEG-LS by dcmtk', () => {
    function compressedBy(args: readonly string[], overrides: SeriesOptions['overrides']): NamedBytes[] {
      return chiralFiles({ overrides }).map(({ name, bytes }) => {
        const [raw, packed] = [join(work, 'raw.dcm'), join(work, 'packed.dcm')]
        writeFileSync(raw, bytes)
        execFileSync('dcmcjpls', [...args, raw, packed], { stdio: 'ignore' })
        return { name, bytes: Uint8Array.from(readFileSync(packed)) }
      })
    }
    /** The phantom in so many bits of a byte or a word. */
    const narrow = (bits: number) => (_: number, slice: Dataset) => {
      const all = new Uint16Array(Uint8Array.from(slice.PixelData as Uint8Array).buffer)
      const bytes = Uint8Array.from(all, (w) => w >> (12 - bits))
      const layout = { BitsAllocated: 8, BitsStored: bits, HighBit: bits - 1, RescaleIntercept: 0 }
      return { ...layout, PixelData: { vr: 'OB', value: bytes } }
    }

    it.each([7, 8])('%d bits: as the uncompressed twin', async (bits) => {
      const twin = (await load(chiralFiles({ overrides: narrow(bits) }))).volume
      const { volume, report } = await load(compressedBy([], narrow(bits)), { decoder })
      expect(volume.identity).toEqual(twin.identity)
      expect(report).toEqual([])
    })

    it('near-lossless: warned of, no value further off than was allowed', async () => {
      const files = compressedBy(['+en', '+md', '2'], {})
      const { volume, report } = await load(files, { decoder })
      expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'lossy-compression']])
      for (let n = 0; n < volume.data.length; n++)
        expect(Math.abs((volume.data[n] as number) - (phantom.data[n] as number))).toBeLessThanOrEqual(2)
    })
  })

it('three colours in JPEG-LS: no densities, refused before decoding', async () => {
  const colour = { SamplesPerPixel: 3, PhotometricInterpretation: 'RGB' }
  const options = { syntax: 'rle', meta: { TransferSyntaxUID: '1.2.840.10008.1.2.4.80' } } as const
  const error = await refusal(chiralFiles({ ...options, overrides: colour }), { decoder })
  expect(codes(error.report)).toEqual(['not-a-density-image'])
})

describe('an encoding that is not read', () => {
  it.each([
    ['made up', '1.2.3.4.5.6'],
    ['MPEG-4', '1.2.840.10008.1.2.4.102'],
    ['JPIP Referenced', '1.2.840.10008.1.2.4.94'],
    ['JPEG XL', '1.2.840.10008.1.2.4.112'],
    ['Deflated Image Frame', '1.2.840.10008.1.2.8.1'],
  ])('%s: refused before a pixel is touched, named, with a remedy', async (_, uid) => {
    const error = await refusal(chiralFiles({ syntax: 'rle', meta: { TransferSyntaxUID: uid } }), { decoder })
    expect(codes(error.report)).toEqual(['unsupported-encoding'])
    expect(error.message).toContain(uid)
    expect(error.message).toContain('Export again uncompressed or as JPEG Lossless')
  })
})

describeWithData(
  'a broken JPEG 2000 stream',
  'odd-dicom/JPEG2000-embedded-sequence-delimiter.dcm',
  (path) => {
    it('is one plain sentence, no number of a codec', async () => {
      const [input] = await inputsFromPath(path)
      const result = input && (await readHeader(input))
      if (result?.kind !== 'image') throw new Error('no image')
      const reading = (async () => {
        for await (const _ of readFrames(result.slices, decoder));
      })()
      const error = await reading.catch((e: unknown) => e)
      expect(error).toBeInstanceOf(FindingError)
      if (!(error instanceof FindingError)) return
      expect(error.finding.code).toBe('pixel-length')
      expect(error.message).toContain('JPEG2000-embedded-sequence-delimiter.dcm')
      expect(error.message).toContain('its header says 256 x 1024. The file is damaged; export it again.')
    })
  },
)
