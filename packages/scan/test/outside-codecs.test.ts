import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type SeriesOptions, writeDicom } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeMissing } from '../../../tests/shared-data.js'
import { readFragments } from '../src/decode/fragments.js'
import { loadScan } from '../src/index.js'
import { inputsFromPath, nodeDecoder } from '../src/node.js'
import { chiralFiles, codes, expectMarks, expectSameAsPhantom } from './chiral.js'
import { compressedImage, headersOf, type ImageBits, rawImage, storedValues } from './single-image.js'

const has = (tool: string) => {
  try {
    execFileSync(tool, ['--version'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}

if (!has('dcmcjpls') || !has('dcmcjpeg'))
  describeMissing('series compressed by dcmtk', 'dcmtk is not installed')
else
  describe('series compressed by dcmtk', () => {
    const work = mkdtempSync(join(tmpdir(), 'scan-'))
    afterAll(() => rmSync(work, { recursive: true }))

    function compress(name: string, tool: string, args: readonly string[], options?: SeriesOptions): string {
      const folder = join(work, name)
      mkdirSync(folder)
      for (const file of chiralFiles(options)) {
        const raw = join(work, 'raw.dcm')
        writeFileSync(raw, file.bytes)
        execFileSync(tool, [...args, raw, join(folder, file.name)], { stdio: 'ignore' })
      }
      return folder
    }

    it.each([
      ['jpeg-ls', 'dcmcjpls', []],
      ['jpeg-lossless', 'dcmcjpeg', ['+e1']],
    ] as const)('%s: every voxel as in the uncompressed twin, slices in order', async (name, tool, args) => {
      const inputs = await inputsFromPath(compress(name, tool, args))
      const { volume, report } = await loadScan(inputs, { decoder: nodeDecoder() })
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    })

    it('a rescale of its own in one slice, inverted display: values as in the uncompressed twin', async () => {
      const overrides: SeriesOptions['overrides'] = (k) => ({
        PhotometricInterpretation: 'MONOCHROME1',
        ...(k === 2 ? { RescaleIntercept: 0 } : {}),
      })
      const inputs = await inputsFromPath(compress('rescale', 'dcmcjpls', [], { overrides }))
      const { volume, report } = await loadScan(inputs, { decoder: nodeDecoder() })
      expect(codes(report)).toEqual(['rescale-varies', 'inverted-display'])
      expectMarks(volume)
      expect(volume.data[2 * 1024]).toBe(0)
      expect(volume.data[3 * 1024]).toBe(-1000)
    })

    it('a damaged codestream is refused by name', async () => {
      const folder = compress('damaged', 'dcmcjpls', [])
      const inputs = (await inputsFromPath(folder)).map((input) => {
        if (input.name !== 'IM0009.dcm') return input
        const read = async (...range: Parameters<typeof input.read>) => {
          const bytes = Uint8Array.from(await input.read(...range))
          const start = range[0] ?? 0
          // The last 150 bytes lie well inside the codestream.
          for (let at = Math.max(0, input.size - 150 - start); at < bytes.length - 20; at++) bytes[at] = 0xff
          return bytes
        }
        return { ...input, read }
      })
      const loading = loadScan(inputs, { decoder: nodeDecoder() })
      await expect(loading).rejects.toMatchObject({ code: 'blocked' })
      await expect(loading).rejects.toThrow(/IM0009\.dcm: its pixels \(JPEG-LS Lossless/)
    })
  })

const noise = { columns: 96, rows: 80 }

/** A soft shade with noise on it, within the range of a header. */
function noisy({ bitsStored, signed }: Pick<ImageBits, 'bitsStored' | 'signed'>): number[] {
  const span = 2 ** bitsStored
  const low = signed ? -span / 2 : 0
  return Array.from({ length: noise.columns * noise.rows }, (_, i) => {
    const shade = 0.5 + 0.45 * Math.sin((i % noise.columns) / 9) * Math.cos(i / noise.columns / 7)
    const jitter = ((((i + 1) * 2654435761) >>> 8) % 64) / 64 - 0.5
    return low + Math.floor((span - 1) * Math.min(1, Math.max(0, shade + 0.02 * jitter)))
  })
}

if (!has('dcmcjpls') || !has('dcmcjpeg')) describeMissing('damaged codestreams', 'dcmtk is not installed')
else
  describe('damaged codestreams', () => {
    const work = mkdtempSync(join(tmpdir(), 'scan-'))
    const decoder = nodeDecoder({ workers: 1 })
    afterAll(() => {
      decoder.close()
      rmSync(work, { recursive: true })
    })
    const bits12 = { ...noise, bitsStored: 12, signed: false }
    const bits8 = { ...noise, bitsAllocated: 8, bitsStored: 8, signed: false } as const

    /** A codestream made by a tool, and the file it was in. */
    async function made(tool: string, args: readonly string[], bits: ImageBits) {
      const [raw, packed] = [join(work, 'raw.dcm'), join(work, 'packed.dcm')]
      writeFileSync(raw, rawImage(noisy(bits), bits))
      execFileSync(tool, [...args, raw, packed], { stdio: 'ignore' })
      const [header] = await headersOf(Uint8Array.from(readFileSync(packed)))
      if (!header) throw new Error('no image')
      return { codestream: await readFragments(header), uid: header.transferSyntaxUid }
    }

    const kinds = [
      ['JPEG lossless', 'dcmcjpeg', ['+e1'], bits12],
      ['JPEG baseline', 'dcmcjpeg', ['+eb'], bits8],
      ['JPEG extended', 'dcmcjpeg', ['+ee'], bits12],
      ['JPEG spectral selection', 'dcmcjpeg', ['+es'], bits12],
      ['JPEG progressive', 'dcmcjpeg', ['+ep'], bits12],
      ['JPEG-LS', 'dcmcjpls', [], bits12],
      ['JPEG-LS near-lossless', 'dcmcjpls', ['+en'], bits12],
    ] as const
    const end = Uint8Array.of(0xff, 0xd9)
    const part = (stream: Uint8Array, share: number) => stream.subarray(0, Math.floor(share * stream.length))

    it.each(kinds)('%s: cut, with the end mark put back, and hurt inside', async (_, tool, args, bits) => {
      const { codestream, uid } = await made(tool, args, bits)
      const load = (stream: Uint8Array) => storedValues(compressedImage(stream, bits, uid), decoder)
      await load(codestream)
      const hurt = codestream.slice()
      for (let i = 0; i < 40; i++) {
        const at = Math.floor(0.5 * hurt.length) + i
        hurt[at] = (hurt[at] as number) ^ 0x55
      }
      const damages = {
        'the last 30 % missing': part(codestream, 0.7),
        'the end mark missing': codestream.subarray(0, codestream.lastIndexOf(0xff)),
        'the last 30 % missing before the end mark': Buffer.concat([part(codestream, 0.7), end]),
        'forty bytes in the middle changed': hurt,
      }
      for (const [damage, stream] of Object.entries(damages))
        await expect(load(Uint8Array.from(stream)), damage).rejects.toMatchObject({
          finding: { code: 'decode-failed', files: ['image.dcm'] },
        })
      // What follows the end mark is of no account.
      await load(Uint8Array.from([...codestream, 0, 0, 0, 0]))
    })

    it.each([
      ['dcmcjpls', [], 12],
      ['dcmcjpls', [], 16],
      ['dcmcjpeg', ['+e1'], 12],
      ['dcmcjpeg', ['+e1'], 16],
    ] as const)(
      'signed values by %s %j, %i bits: as the uncompressed twin',
      async (tool, args, bitsStored) => {
        const bits = { ...noise, bitsStored, signed: true }
        const { codestream, uid } = await made(tool, args, bits)
        const { values, report } = await storedValues(compressedImage(codestream, bits, uid), decoder)
        expect(values).toEqual((await storedValues(rawImage(noisy(bits), bits))).values)
        expect(values).toEqual(noisy(bits))
        expect(report).toEqual([])
      },
    )

    it('8 bits in words of 16: the codec is told what the codestream says', async () => {
      for (const [tool, args] of [
        ['dcmcjpls', []],
        ['dcmcjpeg', ['+e1']],
      ] as const) {
        const { codestream, uid } = await made(tool, args, bits8)
        const bits = { ...noise, bitsStored: 8, signed: false }
        const { values } = await storedValues(compressedImage(codestream, bits, uid), decoder)
        expect(values).toEqual(noisy(bits8))
      }
    })

    it.each(['dcmcjpls', 'dcmcjpeg'])('many frames cut into fragments by %s', async (tool) => {
      const frames = Array.from({ length: 5 }, (_, k) =>
        noisy(bits12).map((value) => (value + 97 * k) % 4096),
      )
      const [raw, packed] = [join(work, 'frames.dcm'), join(work, 'cut.dcm')]
      const words = new Uint8Array(Uint16Array.from(frames.flat()).buffer)
      writeFileSync(
        raw,
        writeDicom({
          SOPClassUID: '1.2.840.10008.5.1.4.1.1.7.3',
          SOPInstanceUID: '2.25.11',
          StudyInstanceUID: '2.25.12',
          SeriesInstanceUID: '2.25.13',
          Modality: 'OT',
          SamplesPerPixel: 1,
          PhotometricInterpretation: 'MONOCHROME2',
          NumberOfFrames: 5,
          Rows: noise.rows,
          Columns: noise.columns,
          BitsAllocated: 16,
          BitsStored: 12,
          HighBit: 11,
          PixelRepresentation: 0,
          PixelData: { vr: 'OW', value: words },
        }),
      )
      execFileSync(tool, ['+fs', '2', raw, packed], { stdio: 'ignore' })
      const { values } = await storedValues(Uint8Array.from(readFileSync(packed)), decoder)
      expect(values).toEqual(frames.flat())
    })
  })

const hasOpenJpeg = () => {
  try {
    // Prints its help and fails.
    execFileSync('opj_compress', ['-h'], { stdio: 'ignore' })
  } catch (error) {
    return !(error instanceof Error && 'code' in error && error.code === 'ENOENT')
  }
  return true
}

if (!hasOpenJpeg()) describeMissing('JPEG 2000 by OpenJPEG', 'opj_compress is not installed')
else
  describe('JPEG 2000 by OpenJPEG', () => {
    const work = mkdtempSync(join(tmpdir(), 'scan-'))
    const decoder = nodeDecoder({ workers: 1 })
    afterAll(() => {
      decoder.close()
      rmSync(work, { recursive: true })
    })
    const UID = '1.2.840.10008.1.2.4.90'

    /** A codestream that claims a precision and a sign, of values as far as they fit. */
    function compress(values: readonly number[], precision: number, signed: boolean, ending = 'j2k') {
      const [raw, packed] = [join(work, 'image.raw'), join(work, `image.${ending}`)]
      const bytes =
        precision <= 8 ? Buffer.from(values) : Buffer.from(Uint16Array.from(values).buffer).swap16()
      writeFileSync(raw, bytes)
      const format = [noise.columns, noise.rows, 1, precision, signed ? 's' : 'u'].join(',')
      execFileSync('opj_compress', ['-i', raw, '-o', packed, '-F', format], { stdio: 'ignore' })
      return Uint8Array.from(readFileSync(packed))
    }

    const twins = [false, true].flatMap((signed) =>
      [12, 16].flatMap((bitsStored) =>
        [false, true].flatMap((claimed) =>
          [12, 16]
            .filter((precision) => precision >= bitsStored)
            .map((precision) => [signed, bitsStored, claimed, precision] as const),
        ),
      ),
    )
    it.each(twins)(
      'header signed %s with %i bits, codestream signed %s with %i: as the uncompressed twin',
      async (signed, bitsStored, claimed, precision) => {
        const bits = { ...noise, bitsStored, signed }
        const values = noisy(bits)
        // The same bit patterns, read with the sign that the codestream claims.
        const patterns = values.map((value) => {
          const word = value & (2 ** precision - 1)
          return claimed && word >= 2 ** (precision - 1) ? word - 2 ** precision : word
        })
        const file = compressedImage(compress(patterns, precision, claimed), bits, UID)
        const packed = await storedValues(file, decoder)
        expect(packed.values).toEqual((await storedValues(rawImage(values, bits))).values)
        expect(packed.values).toEqual(values)
        expect(codes(packed.report)).toEqual(signed === claimed ? [] : ['sign-disagrees'])
      },
    )

    it('fewer bits than the header stores: read as they are, with a note', async () => {
      const values = noisy({ bitsStored: 10, signed: true })
      const bits = { ...noise, bitsStored: 16, signed: true }
      const { values: read, report } = await storedValues(
        compressedImage(compress(values, 10, true), bits, UID),
        decoder,
      )
      expect(read).toEqual(values)
      expect(report).toMatchObject([{ level: 'note', code: 'sign-disagrees', files: ['image.dcm'] }])
      expect(report[0]?.message).toContain('In 1 of 1 slices')
    })

    it('8 bits in words of 16, signed and not', async () => {
      for (const signed of [false, true]) {
        const values = noisy({ bitsStored: 8, signed })
        const bits = { ...noise, bitsStored: 8, signed }
        const file = compressedImage(compress(values, 8, signed), bits, UID)
        expect((await storedValues(file, decoder)).values).toEqual(values)
      }
    })

    it('wrapped as a JP2 file, which the standard forbids and some writers do', async () => {
      const bits = { ...noise, bitsStored: 12, signed: false }
      const file = compressedImage(compress(noisy(bits), 12, false, 'jp2'), bits, UID)
      expect((await storedValues(file, decoder)).values).toEqual(noisy(bits))
    })

    it('cut or with a hole: refused by name', async () => {
      const bits = { ...noise, bitsStored: 12, signed: false }
      const stream = compress(noisy(bits), 12, false)
      const cut = stream.subarray(0, Math.floor(0.7 * stream.length))
      const end = [0xff, 0xd9]
      for (const hurt of [
        cut,
        [...cut, ...end],
        stream.subarray(0, stream.length - 2),
        [...stream.subarray(0, 300), ...stream.subarray(400)],
      ])
        await expect(
          storedValues(compressedImage(Uint8Array.from(hurt), bits, UID), decoder),
        ).rejects.toMatchObject({ finding: { code: 'decode-failed', files: ['image.dcm'] } })
    })
  })
