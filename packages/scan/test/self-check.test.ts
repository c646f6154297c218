import { expect, it } from 'vitest'
import { loadScan } from '../src/index.js'
import { chiralFiles, codes, inputsOf, refusal } from './chiral.js'

it('a source that gives other bytes the second time is noticed, and the slice named', async () => {
  // The bulk of the pixels comes changed, single words as they are.
  const inputs = inputsOf(chiralFiles()).map((input, k) => ({
    ...input,
    read: async (start?: number, end?: number) => {
      const bytes = Uint8Array.from(await input.read(start, end))
      if (k === 0 && bytes.length === 2048) bytes.fill(1)
      return bytes
    },
  }))
  await expect(loadScan(inputs)).rejects.toMatchObject({
    code: 'blocked',
    message: expect.stringContaining('IM0001.dcm: a value read again'),
  })
})

it.each(['explicitLittle', 'implicitLittle', 'explicitBig', 'deflated', 'rle'] as const)(
  '%s passes',
  async (syntax) => {
    await expect(loadScan(inputsOf(chiralFiles({ syntax })))).resolves.toBeDefined()
  },
)

it('a damaged file is still named for what it is', async () => {
  const files = chiralFiles().map((f, k) => (k === 3 ? { ...f, bytes: f.bytes.subarray(0, 1500) } : f))
  expect(codes((await refusal(files)).report)).toContain('file-truncated')
})

it('a file that is called .dcm among slices and is none blocks: it may be one of them', async () => {
  const files = [...chiralFiles(), { name: 'IM0025.dcm', bytes: new Uint8Array(100) }]
  const error = await refusal(files)
  expect(codes(error.report)).toContain('damaged-among-slices')
  expect(error.message).toContain('IM0025.dcm')
})
