import { describe, expect, it } from 'vitest'
import { type Decoder, loadScan } from '../src/index.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, load, refusal } from './chiral.js'

describe('encodings read by ourselves', () => {
  it.each(['implicitLittle', 'explicitLittle', 'deflated', 'explicitBig', 'rle'] as const)(
    '%s',
    async (syntax) => {
      const { volume, report } = await load(chiralFiles({ syntax }))
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    },
  )

  it.each([
    ['no preamble, no file meta, explicit', { preamble: false, meta: null }],
    ['no preamble, no file meta, implicit', { preamble: false, meta: null, syntax: 'implicitLittle' }],
    ['no preamble, with file meta', { preamble: false }],
  ] as const)('%s', async (_, options) => {
    const { volume } = await load(chiralFiles(options))
    expectSameAsPhantom(volume)
  })

  it('an RLE slice cut short is refused by name', async () => {
    const files = chiralFiles({ syntax: 'rle' }).map((f, i) =>
      i === 4 ? { ...f, bytes: f.bytes.subarray(0, f.bytes.length - 40) } : f,
    )
    const error = await refusal(files)
    expect(codes(error.report)).toEqual(['file-truncated'])
    expect(error.message).toContain('IM0005.dcm')
  })
})

describe('encodings for a decoder', () => {
  const claims = (uid: string) => ({ meta: { TransferSyntaxUID: uid }, syntax: 'rle' }) as const

  it.each([
    ['1.2.840.10008.1.2.4.201', 'High-Throughput JPEG 2000 Lossless'],
    ['1.2.3.4.5', 'not known here'],
  ])('%s is refused by name, with a remedy', async (uid, name) => {
    const error = await refusal(chiralFiles(claims(uid)))
    expect(codes(error.report)).toEqual(['unsupported-encoding'])
    expect(error.message).toContain(name)
    expect(error.message).toContain(uid)
    expect(error.message).toContain('Export again uncompressed or as JPEG Lossless')
  })

  it('none at hand: says so', async () => {
    const error = await refusal(chiralFiles(claims('1.2.840.10008.1.2.4.70')))
    expect(codes(error.report)).toEqual(['no-decoder'])
  })

  const failing = (broken: number): Decoder => ({
    blockSize: 8,
    decode: async (images) => {
      if (images.some((i) => i.file === `IM00${broken}.dcm`)) throw 5413488
      return new Uint16Array(images.length * 1024).fill(1000)
    },
  })

  it('a failing block is taken apart to name the file; numbers thrown by a decoder stay inside', async () => {
    const error = await refusal(chiralFiles(claims('1.2.840.10008.1.2.4.70')), { decoder: failing(13) })
    expect(codes(error.report)).toEqual(['decode-failed'])
    expect(error.report[0]?.files).toEqual(['IM0013.dcm'])
    expect(error.message).toContain('JPEG Lossless SV1')
    expect(error.message).not.toContain('5413488')
  })

  it('a decoder gets clean files: no rescale, no patient', async () => {
    const seen: string[] = []
    const decoder: Decoder = {
      blockSize: 8,
      decode: async (images) => {
        for (const { dicom } of images) seen.push(new TextDecoder('latin1').decode(dicom))
        return new Uint16Array(images.length * 1024).fill(1000)
      },
    }
    const { volume } = await loadScan(inputsOf(chiralFiles(claims('1.2.840.10008.1.2.4.70'))), { decoder })
    expect(volume.grey.minimum).toBe(0)
    expect(seen).toHaveLength(24)
    expect(seen.some((text) => /PHANTOM|Phantom|-1000/.test(text))).toBe(false)
  })

  it('lossy once is lossy for ever: warned', async () => {
    const { report } = await load(chiralFiles({ overrides: { LossyImageCompression: '01' } }))
    expect(codes(report)).toEqual(['lossy-compression'])
    expect(report[0]?.level).toBe('warn')
  })
})
