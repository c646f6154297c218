import { createHash } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chiralStorage, encapsulate, type MultiFrameOptions, writeMultiFrame } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import { describeWithData } from '../../../tests/shared-data.js'
import { readFragments } from '../src/decode/fragments.js'
import { readFrames } from '../src/decode/index.js'
import { readHeader, type SliceHeader } from '../src/headers/index.js'
import { inputFromBytes, type ScanInput } from '../src/index.js'
import { inputsFromPath, nodeDecoder } from '../src/node.js'
import { chiralFiles, codes, expectSameAsPhantom, load, phantom, refusal } from './chiral.js'
import { encodeHtj2k } from './htj2k.js'
import { jpegLsSlice } from './jpeg-ls-slice.js'

/** The slices of the phantom, compressed, and a comment in each so that no two are alike. */
const frames = Array.from({ length: 24 }, (_, k) => {
  const stored = Array.from(phantom.data.subarray(1024 * k, 1024 * (k + 1)), (grey) => grey + 1000)
  return withComment(encodeHtj2k(stored, { columns: 32, rows: 32 }), Uint8Array.of(k))
})

/** A comment segment of JPEG 2000 (COM, ISO 15444-1 A.9.2), put in behind the SIZ segment of one component. */
function withComment(codestream: Uint8Array, text: Uint8Array): Uint8Array {
  const at = 45
  const head = [0xff, 0x64, 0, 4 + text.length, 0, 0, ...text]
  return Uint8Array.from([...codestream.subarray(0, at), ...head, ...codestream.subarray(at)])
}

const HTJ2K = '1.2.840.10008.1.2.4.201'
const write = (options: Partial<MultiFrameOptions> = {}) =>
  writeMultiFrame(phantom, {
    object: 'EnhancedCT',
    storage: chiralStorage,
    encodedFrames: frames,
    syntaxUid: HTJ2K,
    ...options,
  })

/** As the fragments and the table say, whatever they say. */
const written = (fragments: readonly Uint8Array[], offsets: readonly number[] = []) =>
  write({ overrides: { PixelData: { fragments, offsets } } })

async function headersOf(input: ScanInput): Promise<readonly SliceHeader[]> {
  const result = await readHeader(input)
  if (result.kind !== 'image') throw new Error(`${input.name} is ${result.kind}`)
  return result.slices
}

/** The codestreams of a file, without the pad byte of odd ones. */
async function codestreams(bytes: Uint8Array): Promise<Uint8Array[]> {
  const headers = await headersOf(inputFromBytes('file', bytes))
  return Promise.all(headers.map((header) => readFragments(header)))
}

function expectFrames(read: readonly Uint8Array[], of: readonly Uint8Array[] = frames): void {
  expect(read).toHaveLength(of.length)
  of.forEach((frame, k) => {
    expect(Buffer.from(read[k]?.subarray(0, frame.length) ?? []).equals(frame), `frame ${k}`).toBe(true)
    expect(read[k]?.length).toBe(frame.length + (frame.length % 2))
  })
}

const whole = encapsulate(frames).PixelData as { fragments: Uint8Array[]; offsets: number[] }
const thirds = encapsulate(frames, { fragmentsPerFrame: 3 }).PixelData as typeof whole

describe('frames among fragments (PS3.5 A.4)', () => {
  it.each([
    ['one fragment a frame, table filled', {}],
    ['one fragment a frame, table empty', { offsetTable: 'empty' }],
    ['one fragment a frame, extended table', { offsetTable: 'extended' }],
    ['three fragments a frame, table filled', { fragmentsPerFrame: 3 }],
    ['three fragments a frame, table empty', { fragmentsPerFrame: 3, offsetTable: 'empty' }],
  ] as const)('%s: the volume is the same', async (_, options) => {
    const file = write(options)
    expectFrames(await codestreams(file.bytes))
    const { volume } = await load([file], { decoder: nodeDecoder() })
    expectSameAsPhantom(volume)
  })

  it.each([
    ['basic', {}],
    ['empty', { offsetTable: 'empty' }],
    ['extended', { offsetTable: 'extended' }],
  ] as const)('RLE, table %s', async (_, options) => {
    const file = writeMultiFrame(phantom, {
      object: 'EnhancedCT',
      storage: chiralStorage,
      syntax: 'rle',
      ...options,
    })
    expectSameAsPhantom((await load([file])).volume)
  })

  it.each([
    ['in reverse', [...whole.offsets].reverse()],
    ['with one entry too few', whole.offsets.slice(1)],
    ['with one entry too many', [...whole.offsets, 999_999]],
    ['of zeros', whole.offsets.map(() => 0)],
    ['that counts from the first byte of the first frame', whole.offsets.map((o) => o + 8)],
    ['of nonsense', whole.offsets.map((_, k) => (k * 2654435761) % 2 ** 32)],
  ])('a table %s is not believed', async (_, offsets) => {
    expectFrames(await codestreams(written(whole.fragments, offsets).bytes))
  })

  it('a table is not believed where it points into the middle of a frame', async () => {
    const { fragments, offsets } = thirds
    const second = (offsets[1] ?? 0) + 8 + (fragments[3]?.length ?? 0)
    const odd = offsets.map((offset, k) => (k === 1 ? second : offset))
    expectFrames(await codestreams(written(fragments, odd).bytes))
  })

  it('an extended table of nonsense does no harm', async () => {
    const overrides = { ExtendedOffsetTable: frames.map((_, k) => (k * 7919) % 1000) }
    expectFrames(await codestreams(write({ offsetTable: 'extended', overrides }).bytes))
  })

  it('an image more than the table lists and Number of Frames says: refused', async () => {
    const more = [...whole.fragments, frames[3] as Uint8Array]
    await expect(codestreams(written(more, whole.offsets).bytes)).rejects.toThrow(
      'should hold 24 frames, and 25 are in',
    )
  })

  it('what looks like delimiters and items inside compressed bytes is none', async () => {
    const marks = Uint8Array.of(0xfe, 0xff, 0xdd, 0xe0, 0, 0, 0, 0, 0xfe, 0xff, 0, 0xe0, 4, 0, 0, 0)
    const marked = frames.map((frame) => withComment(frame, marks))
    const file = write({ encodedFrames: marked, offsetTable: 'empty' })
    expectFrames(await codestreams(file.bytes), marked)
    expectSameAsPhantom((await load([file], { decoder: nodeDecoder() })).volume)
  })

  it('one image in many fragments', async () => {
    const cut = encapsulate([jpegLsSlice], { fragmentsPerFrame: 9 })
    const [file] = chiralFiles({
      syntax: 'rle',
      meta: { TransferSyntaxUID: '1.2.840.10008.1.2.4.80' },
      overrides: cut,
    })
    expectFrames(await codestreams(file?.bytes ?? new Uint8Array()), [jpegLsSlice])
  })
})

describe('frames that are not there', () => {
  it.each([
    ['fewer', frames.slice(1), 23],
    ['more', [...frames, frames[3] as Uint8Array], 25],
  ])('%s than Number of Frames: refused with both numbers', async (_, fragments, found) => {
    const error = await refusal([written(fragments)], { decoder: nodeDecoder() })
    expect(codes(error.report)).toContain('frames-mismatch')
    const finding = error.report.find((r) => r.code === 'frames-mismatch')
    expect(finding?.message).toContain('EnhancedCT.dcm should hold 24 frames')
    expect(finding?.facts).toEqual({ stated: 24, found })
  })

  it('fewer in RLE', async () => {
    const file = writeMultiFrame(phantom, {
      object: 'EnhancedCT',
      storage: chiralStorage,
      syntax: 'rle',
      overrides: ({ PixelData }) => {
        const { fragments } = PixelData as { fragments: Uint8Array[] }
        return { PixelData: { fragments: fragments.slice(2) } }
      },
    })
    expect((await refusal([file])).message).toContain('should hold 24 frames, and 22 are in')
  })

  it('a file of one image with two in it', async () => {
    const two = encapsulate([jpegLsSlice, jpegLsSlice], { offsetTable: 'empty' })
    const files = chiralFiles({
      syntax: 'rle',
      meta: { TransferSyntaxUID: '1.2.840.10008.1.2.4.80' },
      overrides: (k) => (k === 4 ? two : { PixelData: { fragments: [jpegLsSlice] } }),
    })
    const error = await refusal(files, { decoder: nodeDecoder() })
    expect(error.message).toContain('IM0005.dcm should hold 1 frames, and 2 are in')
  })

  it.each([
    ['in the last fragment', 20, 'file-truncated'],
    ['in the middle of the file', 1500, 'file-truncated'],
  ])('a file cut %s', async (_, bytes, code) => {
    const file = write()
    const cut = { ...file, bytes: file.bytes.subarray(0, file.bytes.length - bytes) }
    const error = await refusal([cut], { decoder: nodeDecoder() })
    expect(error.report.find((r) => r.level === 'block')?.code).toBe(code)
    expect(error.message).toContain('EnhancedCT.dcm')
  })

  it('without any fragment', async () => {
    const error = await refusal([written([])], { decoder: nodeDecoder() })
    expect(error.message).toContain('EnhancedCT.dcm is cut short')
  })

  it('without the delimiter at the end: read, it is all there', async () => {
    const { bytes } = write()
    expectFrames(await codestreams(bytes.subarray(0, bytes.length - 8)))
  })
})

describe('how much of a file is read for one of its frames', () => {
  it.each([
    ['40 long ones: jumps from item to item', 40, 200_000, 0.05],
    ['2000 short ones: few reads', 2000, 100, 1.1],
  ])('%s', async (_, count, size, share) => {
    const long = Array.from({ length: count }, (_, k) => {
      const frame = new Uint8Array(size)
      frame.set(jpegLsSlice.subarray(0, 50))
      frame[size - 1] = k
      return frame
    })
    const [file] = chiralFiles({
      syntax: 'rle',
      meta: { TransferSyntaxUID: '1.2.840.10008.1.2.4.80' },
      overrides: { NumberOfFrames: count, ...encapsulate(long, { offsetTable: 'empty' }) },
    })
    const plain = inputFromBytes('file', file?.bytes ?? new Uint8Array())
    let read = 0
    let reads = 0
    const counting: ScanInput = {
      ...plain,
      read: async (...range) => {
        const bytes = await plain.read(...range)
        read += bytes.length
        reads++
        return bytes
      },
    }
    const headers = await headersOf(counting)
    read = 0
    reads = 0
    const last = await readFragments(headers.at(-1) as SliceHeader)
    expect(last.at(-1)).toBe((count - 1) % 256)
    expect(read).toBeLessThan(share * plain.size)
    expect(reads).toBeLessThan(50)
    // The walk is not repeated for the next frame.
    read = 0
    await readFragments(headers[7] as SliceHeader)
    expect(read).toBe(size)
  })
})

describeWithPython('against pydicom', ['pydicom'], (run) => {
  const work = mkdtempSync(join(tmpdir(), 'scan-'))
  afterAll(() => rmSync(work, { recursive: true }))

  /** Hashes of the frames as pydicom's own reader cuts them. */
  const inPydicom = (path: string): string[] =>
    run(
      `
import hashlib, sys
from pydicom import dcmread
from pydicom.encaps import generate_pixel_data
ds = dcmread(sys.argv[1], force=True)
for frame in generate_pixel_data(ds.PixelData, int(ds.NumberOfFrames)):
    print(hashlib.sha256(b"".join(frame)).hexdigest())`,
      [path],
    )
      .trim()
      .split('\n')
  const hashed = (all: readonly Uint8Array[]) =>
    all.map((bytes) => createHash('sha256').update(bytes).digest('hex'))

  it.each([
    ['one fragment a frame', {}],
    ['one fragment a frame, no table', { offsetTable: 'empty' }],
    ['three fragments a frame', { fragmentsPerFrame: 3 }],
  ] as const)('%s: the same bytes in every frame', async (_, options) => {
    const file = write(options)
    const path = join(work, file.name)
    writeFileSync(path, file.bytes)
    expect(hashed(await codestreams(file.bytes))).toEqual(inPydicom(path))
  })

  it.each([1, 2, 5])('cut by pydicom into %i fragments a frame', async (pieces) => {
    const source = join(work, 'source.dcm')
    const path = join(work, 'cut.dcm')
    writeFileSync(source, write().bytes)
    run(
      `
import sys
from pydicom import dcmread
from pydicom.encaps import encapsulate, generate_pixel_data
ds = dcmread(sys.argv[1], force=True)
frames = [b"".join(f) for f in generate_pixel_data(ds.PixelData, int(ds.NumberOfFrames))]
ds.PixelData = encapsulate(frames, fragments_per_frame=int(sys.argv[3]), has_bot=True)
ds["PixelData"].is_undefined_length = True
ds.file_meta.TransferSyntaxUID = "1.2.840.10008.1.2.4.90"
ds.save_as(sys.argv[2])`,
      [source, path, String(pieces)],
    )
    const [input] = await inputsFromPath(path)
    const headers = await headersOf(input as ScanInput)
    expectFrames(await Promise.all(headers.map((header) => readFragments(header))))
  })
})

describeWithData('real multi-frame files', 'odd-dicom', (folder) => {
  const pixelsOf = async (name: string) => {
    const [input] = await inputsFromPath(join(folder, name))
    const all: number[][] = []
    for await (const { pixels } of readFrames(await headersOf(input as ScanInput), nodeDecoder()))
      all.push(Array.from(pixels))
    return all
  }

  // The three files hold the same ten frames (SOURCE.md beside them).
  it.each(['emri_small_RLE.dcm', 'emri_small_jpeg_ls_lossless.dcm'])(
    '%s: every frame as in the uncompressed file',
    async (name) => {
      expect(await pixelsOf(name)).toEqual(await pixelsOf('emri_small.dcm'))
    },
  )

  it('a codestream broken by a sequence delimiter inside: refused by name', async () => {
    await expect(pixelsOf('JPEG2000-embedded-sequence-delimiter.dcm')).rejects.toThrow(
      /JPEG2000-embedded-sequence-delimiter\.dcm.*The file is damaged/,
    )
  })
})
