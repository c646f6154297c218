import { type NamedBytes, zipSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { inputFromBytes, inspectScan, loadScan, type ScanProgress } from '../src/index.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, inSlice, load, refusal } from './chiral.js'

const replace = (files: readonly NamedBytes[], n: number, bytes: (whole: Uint8Array) => Uint8Array) =>
  files.map((f, i) => (i === n ? { ...f, bytes: bytes(f.bytes) } : f))

describe('sizes that do not fit', () => {
  it('Rows doubled in one file: refused, file named', async () => {
    const error = await refusal(chiralFiles({ overrides: inSlice(9, { Rows: 64 }) }))
    expect(error.code).toBe('blocked')
    expect(error.report.some((r) => r.level === 'block' && r.message.includes('IM0010.dcm'))).toBe(true)
  })

  it('Rows doubled in all files: refused before any pixel is read', async () => {
    const error = await refusal(chiralFiles({ overrides: { Rows: 64 } }))
    expect(codes(error.report)).toEqual(['pixel-length'])
  })

  it('one file cut in its pixels', async () => {
    const error = await refusal(replace(chiralFiles(), 12, (b) => b.subarray(0, b.length - 1000)))
    expect(codes(error.report)).toEqual(['file-truncated'])
    expect(error.message).toContain('IM0013.dcm')
    expect(error.message).toContain('Copy it again')
    // Known from the headers alone.
    const files = replace(chiralFiles(), 12, (b) => b.subarray(0, b.length - 1000))
    expect(codes((await inspectScan(inputsOf(files))).report)).toEqual(['file-truncated'])
  })

  it('one file cut in its header', async () => {
    const error = await refusal(replace(chiralFiles(), 12, (b) => b.subarray(0, 600)))
    expect(error.code).toBe('blocked')
    expect(codes(error.report)).toEqual(expect.arrayContaining(['header-unreadable', 'slices-missing']))
    expect(error.report.find((r) => r.code === 'header-unreadable')?.files).toEqual(['IM0013.dcm'])
  })

  it.each([0, 12, 23])('file %d of 0 bytes: refused even at an end of the stack', async (n) => {
    const error = await refusal(replace(chiralFiles(), n, () => new Uint8Array(0)))
    expect(codes(error.report)).toContain('damaged-among-slices')
    expect(error.report.find((r) => r.code === 'file-empty')?.files).toEqual([
      `IM00${String(n + 1).padStart(2, '0')}.dcm`,
    ])
  })

  it('an empty file of another kind does not stop the scan', async () => {
    const { volume, report } = await load([...chiralFiles(), { name: 'notes.txt', bytes: new Uint8Array(0) }])
    expectSameAsPhantom(volume)
    expect(codes(report)).toEqual(['file-empty'])
  })

  it('bytes after the pixel data do no harm', async () => {
    const { volume } = await load(
      chiralFiles({ overrides: { FFFCFFFC: { vr: 'OB', value: new Uint8Array(64) } } }),
    )
    expectSameAsPhantom(volume)
  })

  it('a header longer than the first read', async () => {
    const comment = { vr: 'OB', value: new Uint8Array(200_000) }
    const { volume } = await load(chiralFiles({ overrides: { '00091010': comment } }))
    expectSameAsPhantom(volume)
  })
})

describe('not a volume of densities', () => {
  it('colour', async () => {
    const error = await refusal(
      chiralFiles({ overrides: { SamplesPerPixel: 3, PhotometricInterpretation: 'RGB' } }),
    )
    expect(codes(error.report)).toEqual(['not-a-density-image'])
  })

  it('a Modality LUT is not ignored', async () => {
    const table = {
      LUTDescriptor: { vr: 'US', value: [4096, 0, 16] },
      ModalityLUTType: 'US',
      LUTData: new Uint8Array(8192),
    }
    const error = await refusal(chiralFiles({ overrides: { ModalityLUTSequence: [table] } }))
    expect(codes(error.report)).toEqual(['modality-lut'])
  })

  it('nothing at all, and nothing of DICOM', async () => {
    expect((await refusal([])).code).toBe('no-series')
    const error = await refusal([{ name: 'a.txt', bytes: new TextEncoder().encode('hello, this is text') }])
    expect(error.message).toContain('None of the 1 files is a DICOM image')
    expect(codes((await inspectScan([])).report)).toEqual(['no-series'])
  })
})

it('a zip entry that claims to unpack to gigabytes is not unpacked', async () => {
  const zip = Uint8Array.from(zipSeries(chiralFiles()))
  // Uncompressed size in the first record of the central directory (APPNOTE 4.3.12).
  const view = new DataView(zip.buffer)
  let at = 0
  while (view.getUint32(at, true) !== 0x02014b50) at++
  view.setUint32(at + 24, 2 ** 31 - 1, true)
  const error = await refusal([{ name: 'z.zip', bytes: zip }])
  expect(codes(error.report)).toContain('zip-damaged')
  expect(error.report.find((r) => r.code === 'zip-damaged')?.message).toContain(
    'claims to hold 2147483647 bytes',
  )
})

it('more voxels than there is room for: refused by size, before anything is allocated', async () => {
  // RLE, because native pixels are measured against the file first.
  const error = await refusal(chiralFiles({ syntax: 'rle', overrides: { Rows: 65535, Columns: 65535 } }))
  expect(codes(error.report)).toEqual(['too-large'])
  expect(error.message).toMatch(/needs at least \d+ MB/)
})

describe('aborting', () => {
  it('before the start', async () => {
    const stopped = AbortSignal.abort()
    await expect(loadScan(inputsOf(chiralFiles()), { signal: stopped })).rejects.toMatchObject({
      name: 'AbortError',
    })
  })

  it.each(['headers', 'pixels'] as const)('during %s: no further file is read', async (stage) => {
    const controller = new AbortController()
    let reads = 0
    const inputs = inputsOf(chiralFiles()).map((input) => ({
      ...input,
      read: (...range: Parameters<typeof input.read>) => {
        reads++
        return input.read(...range)
      },
    }))
    let readsAtAbort = 0
    const onProgress = (p: ScanProgress) => {
      if (p.stage !== stage || p.done !== 3) return
      readsAtAbort = reads
      controller.abort()
    }
    await expect(loadScan(inputs, { signal: controller.signal, onProgress })).rejects.toMatchObject({
      name: 'AbortError',
    })
    // What was under way when the signal came may still end: at most the files read side by side.
    expect(reads - readsAtAbort).toBeLessThanOrEqual(8)
  })
})

it('progress runs through both stages', async () => {
  const seen: string[] = []
  const onProgress = (p: ScanProgress) => seen.push(`${p.stage} ${p.done}/${p.total}`)
  await loadScan([inputFromBytes('z', zipSeries(chiralFiles()))], { onProgress })
  expect(seen).toHaveLength(48)
  expect(seen[0]).toBe('headers 1/24')
  expect(seen.at(-1)).toBe('pixels 24/24')
})
