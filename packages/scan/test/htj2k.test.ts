import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { SeriesOptions } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeMissing } from '../../../tests/shared-data.js'
import { nodeDecoder } from '../src/node.js'
import { chiralFiles, codes, expectSameAsPhantom, load, phantom, refusal } from './chiral.js'
import { encodeHtj2k, type Htj2kOptions } from './htj2k.js'

const size = { columns: 61, rows: 47 }

/** Every value of the range somewhere, and steps between neighbours large and small. */
function pattern(bits: number, signed: boolean): number[] {
  const low = signed ? -(2 ** (bits - 1)) : 0
  return Array.from({ length: 61 * 47 }, (_, i) => low + ((i * 977 + ((i * i) >> 3)) % 2 ** bits))
}

const layoutOf = (bits: number, signed: boolean) => ({
  ...size,
  frames: 1,
  samplesPerPixel: 1,
  bitsAllocated: bits <= 8 ? 8 : 16,
  bitsStored: bits,
  highBit: bits - 1,
  signed,
  photometric: 'MONOCHROME2',
})

/** Whole words of the decoder as the header means them. */
const asStored = (words: ArrayLike<number>, bits: number, signed: boolean) =>
  Array.from(words, (word) => (signed ? (word << (32 - bits)) >> (32 - bits) : word & (2 ** bits - 1)))

const decoder = nodeDecoder({ workers: 1 })
afterAll(() => decoder.close())

async function decode(codestream: Uint8Array, bits: number, signed: boolean): Promise<number[]> {
  const layout = layoutOf(bits, signed)
  const image = { slice: 'image', transferSyntaxUid: '1.2.840.10008.1.2.4.203', layout, codestream }
  return asStored(await decoder.decode([image]), bits, signed)
}

const kinds = [
  [8, false],
  [8, true],
  [10, true],
  [12, false],
  [12, true],
  [16, false],
  [16, true],
] as const

describe('High-Throughput JPEG 2000', () => {
  it.each(kinds)('%i bits, signed %s: lossless', async (bits, signed) => {
    const values = pattern(bits, signed)
    expect(await decode(encodeHtj2k(values, { ...size, bits, signed }), bits, signed)).toEqual(values)
  })

  /** The phantom, compressed slice by slice. */
  const compressed = (
    uid: string,
    options: Partial<Htj2kOptions> = {},
    more: SeriesOptions['overrides'] = {},
  ) =>
    chiralFiles({
      syntax: 'rle',
      meta: { TransferSyntaxUID: uid },
      overrides: (k, slice) => {
        const stored = Array.from(phantom.data.subarray(1024 * k, 1024 * (k + 1)), (grey) => grey + 1000)
        const codestream = encodeHtj2k(stored, { columns: 32, rows: 32, bits: 12, ...options })
        const others = typeof more === 'function' ? more(k, slice) : more
        return { PixelData: { fragments: [codestream] }, ...others }
      },
    })

  it.each([
    ['1.2.840.10008.1.2.4.201', {}],
    ['1.2.840.10008.1.2.4.202', { rpcl: true }],
    ['1.2.840.10008.1.2.4.203', {}],
  ])('%s: every voxel as in the uncompressed twin', async (uid, options) => {
    const { volume, report } = await load(compressed(uid, options), { decoder })
    expectSameAsPhantom(volume)
    expect(report).toEqual([])
  })

  it('203 may be lossy, and says so in Lossy Image Compression', async () => {
    const files = compressed('1.2.840.10008.1.2.4.203', { step: 0.002 }, { LossyImageCompression: '01' })
    const { volume, report } = await load(files, { decoder })
    expect(codes(report)).toEqual(['lossy-compression'])
    const off = phantom.data.map((grey, i) => Math.abs(grey - (volume.data[i] as number)))
    expect(Math.max(...off)).toBeGreaterThan(0)
    // Half a step is 0.001 of 4096 for each coefficient; a few of them meet in a voxel.
    expect(Math.max(...off)).toBeLessThan(20)
  })

  // The codec returns a picture for each of these without a word.
  it.each([
    ['cut to 70 %', (stream: Uint8Array) => stream.subarray(0, Math.floor(0.7 * stream.length))],
    ['cut by its end mark', (stream: Uint8Array) => stream.subarray(0, stream.length - 2)],
    [
      'with a hole',
      (stream: Uint8Array) => Uint8Array.of(...stream.subarray(0, 120), ...stream.subarray(140)),
    ],
  ])('a codestream %s is refused by name', async (_, hurt) => {
    const files = compressed('1.2.840.10008.1.2.4.201', {}, (k) => {
      if (k !== 6) return {}
      const stored = pattern(12, false).slice(0, 1024)
      const codestream = encodeHtj2k(stored, { columns: 32, rows: 32, bits: 12 })
      return { PixelData: { fragments: [hurt(codestream)] } }
    })
    const error = await refusal(files, { decoder })
    expect(codes(error.report)).toEqual(['decode-failed'])
    expect(error.message).toMatch(
      /IM0007\.dcm: its pixels \(High-Throughput JPEG 2000 .* stop before their end/,
    )
  })

  it('a codestream of another size is refused with both', async () => {
    const files = compressed('1.2.840.10008.1.2.4.201', {}, (k) =>
      k === 2
        ? { PixelData: { fragments: [encodeHtj2k(new Array(1024).fill(7), { columns: 64, rows: 16 })] } }
        : {},
    )
    const error = await refusal(files, { decoder })
    expect(codes(error.report)).toEqual(['pixel-length'])
    expect(error.message).toContain('IM0003.dcm: its compressed pixels are 64 x 16, its header says 32 x 32')
  })
})

const hasOpenJpeg = () => {
  try {
    // Prints its help and fails.
    execFileSync('opj_decompress', ['-h'], { stdio: 'ignore' })
  } catch (error) {
    return !(error instanceof Error && 'code' in error && error.code === 'ENOENT')
  }
  return true
}

if (!hasOpenJpeg()) describeMissing('HTJ2K against OpenJPEG', 'opj_decompress is not installed')
else
  describe('HTJ2K against OpenJPEG', () => {
    const work = mkdtempSync(join(tmpdir(), 'scan-'))
    afterAll(() => rmSync(work, { recursive: true }))

    /** Values as opj_decompress 2.5 has them: `.rawl`, little endian words, not sign-extended. */
    function inOpenJpeg(codestream: Uint8Array, bits: number, signed: boolean): number[] {
      const [input, output] = [join(work, 'image.jhc'), join(work, 'image.rawl')]
      writeFileSync(input, codestream)
      execFileSync('opj_decompress', ['-i', input, '-o', output], { stdio: 'ignore' })
      const bytes = Uint8Array.from(readFileSync(output))
      return asStored(bits <= 8 ? bytes : new Uint16Array(bytes.buffer), bits, signed)
    }

    // Without signed samples of 8 bits: opj_decompress 2.5.0 clips them when it writes its file.
    it.each(kinds.filter(([bits, signed]) => bits > 8 || !signed))(
      '%i bits, signed %s: lossless, value by value',
      async (bits, signed) => {
        const codestream = encodeHtj2k(pattern(bits, signed), { ...size, bits, signed })
        expect(await decode(codestream, bits, signed)).toEqual(inOpenJpeg(codestream, bits, signed))
      },
    )

    it('packets by resolution: lossless, value by value', async () => {
      const codestream = encodeHtj2k(pattern(12, false), { ...size, bits: 12, rpcl: true })
      expect(await decode(codestream, 12, false)).toEqual(inOpenJpeg(codestream, 12, false))
    })

    it.each([
      [12, false],
      [12, true],
      [16, true],
    ] as const)('%i bits, signed %s: lossy, to the rounding of two decoders', async (bits, signed) => {
      const codestream = encodeHtj2k(pattern(bits, signed), { ...size, bits, signed, step: 0.001 })
      const [ours, theirs] = [await decode(codestream, bits, signed), inOpenJpeg(codestream, bits, signed)]
      const off = ours.map((value, i) => Math.abs(value - (theirs[i] as number)))
      // The wavelet of lossy images is computed in 32 bit floats by both, in another order.
      expect(Math.max(...off)).toBeLessThanOrEqual(2)
    })
  })
