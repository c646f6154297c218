import { describe, expect, it } from 'vitest'
import { type CompressedImage, type Decoder, loadScan } from '../src/index.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, load, refusal } from './chiral.js'
import { jpegLsSlice } from './jpeg-ls-slice.js'

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
  /** Every slice holds the same compressed picture. */
  const claims = (uid: string) =>
    ({
      meta: { TransferSyntaxUID: uid },
      syntax: 'rle',
      overrides: { PixelData: { fragments: [jpegLsSlice] } },
    }) as const
  const jpegLs = claims('1.2.840.10008.1.2.4.80')

  it.each([
    ['1.2.840.10008.1.2.4.110', 'JPEG XL Lossless'],
    ['1.2.3.4.5', 'not known here'],
  ])('%s is refused by name, with a remedy', async (uid, name) => {
    const error = await refusal(chiralFiles(claims(uid)))
    expect(codes(error.report)).toEqual(['unsupported-encoding'])
    expect(error.message).toContain(name)
    expect(error.message).toContain(uid)
    expect(error.message).toContain('Export again uncompressed or as JPEG Lossless')
  })

  it('none at hand: says so', async () => {
    const error = await refusal(chiralFiles(jpegLs))
    expect(codes(error.report)).toEqual(['no-decoder'])
  })

  const uniform = (decode: (images: readonly CompressedImage[]) => void): Decoder => ({
    blockSize: 8,
    blocksAtOnce: 2,
    decode: async (images) => {
      decode(images)
      return new Uint16Array(images.length * 1024).fill(1000)
    },
    close: () => {},
  })
  const failing = (broken: number) =>
    uniform((images) => {
      if (images.some((i) => i.slice === `IM00${broken}.dcm`)) throw 5413488
    })

  it('a failing block is taken apart to name the file; numbers thrown by a decoder stay inside', async () => {
    const error = await refusal(chiralFiles(jpegLs), { decoder: failing(13) })
    expect(codes(error.report)).toEqual(['decode-failed'])
    expect(error.report[0]?.files).toEqual(['IM0013.dcm'])
    expect(error.message).toContain('JPEG-LS Lossless')
    expect(error.message).not.toContain('5413488')
  })

  it('a block that fails as a whole is kept where its images can be decoded one by one', async () => {
    const decoder = uniform((images) => {
      if (images.length > 1) throw new Error('out of memory')
    })
    const { volume } = await loadScan(inputsOf(chiralFiles(jpegLs)), { decoder })
    expect([volume.grey.minimum, volume.grey.maximum]).toEqual([0, 0])
  })

  it('a decoder gets pixels alone: no rescale, no patient', async () => {
    const seen: CompressedImage[] = []
    const decoder = uniform((images) => seen.push(...images))
    const { volume } = await loadScan(inputsOf(chiralFiles(jpegLs)), { decoder })
    expect(volume.grey.minimum).toBe(0)
    expect(seen).toHaveLength(24)
    expect(Object.keys(seen[0] ?? {})).toEqual(['slice', 'transferSyntaxUid', 'layout', 'codestream'])
    expect(seen.every(({ codestream }) => Buffer.from(codestream).equals(jpegLsSlice))).toBe(true)
  })

  it('lossy once is lossy for ever: warned', async () => {
    const { report } = await load(chiralFiles({ overrides: { LossyImageCompression: '01' } }))
    expect(codes(report)).toEqual(['lossy-compression'])
    expect(report[0]?.level).toBe('warn')
  })
})
