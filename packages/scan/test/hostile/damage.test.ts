import type { NamedBytes } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { inspectScan } from '../../src/index.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, inSlice, load, refusal } from '../chiral.js'

const change = (n: number, bytes: (whole: Uint8Array) => Uint8Array): NamedBytes[] =>
  chiralFiles().map((f, i) => (i === n ? { ...f, bytes: bytes(f.bytes) } : f))
const blocks = (report: readonly { level: string; code: string }[]) =>
  codes(report.filter((r) => r.level === 'block'))
const name = (n: number) => `IM00${String(n + 1).padStart(2, '0')}.dcm`

describe('one slice whose bytes are not what it declares', () => {
  const cuts: readonly (readonly [string, (whole: Uint8Array) => Uint8Array, string])[] = [
    ['one byte short', (b) => b.subarray(0, b.length - 1), 'file-truncated'],
    ['half of its pixels', (b) => b.subarray(0, b.length - 1024), 'file-truncated'],
    ['no pixel at all', (b) => b.subarray(0, b.length - 2048), 'file-truncated'],
    ['cut in its header', (b) => b.subarray(0, 500), 'damaged-among-slices'],
    ['cut in its preamble', (b) => b.subarray(0, 100), 'damaged-among-slices'],
    ['0 bytes', () => new Uint8Array(), 'damaged-among-slices'],
  ]

  it.each(cuts)('%s: refused, never filled', async (_, cut, code) => {
    for (const n of [0, 12, 23]) {
      const files = change(n, cut)
      const error = await refusal(files)
      expect(error.code).toBe('blocked')
      expect(blocks(error.report)).toContain(code)
      expect(error.report.find((r) => r.code === code)?.files).toContain(name(n))
      expect(error.report.find((r) => r.code === code)?.message).toMatch(/copy/i)
      // Nothing of it is needed but the headers.
      expect(blocks((await inspectScan(inputsOf(files))).report)).toContain(code)
    }
  })

  it('Pixel Data of more than one image: refused', async () => {
    const doubled = inSlice(9, { PixelData: new Uint8Array(4096) })
    const error = await refusal(chiralFiles({ overrides: doubled }))
    expect(blocks(error.report)).toEqual(['pixel-length'])
    expect(error.message).toContain(name(9))
  })

  it('Bits Allocated of 8 over 16 bit pixels in one slice: refused', async () => {
    const error = await refusal(
      chiralFiles({ overrides: inSlice(9, { BitsAllocated: 8, BitsStored: 8, HighBit: 7 }) }),
    )
    expect(blocks(error.report)).toEqual(['pixel-length'])
    expect(error.message).toContain(name(9))
  })

  it('Columns of 0 in one slice: refused', async () => {
    const error = await refusal(chiralFiles({ overrides: inSlice(9, { Columns: 0 }) }))
    expect(error.code).toBe('blocked')
    expect(error.message).toContain(name(9))
  })

  it('bytes after the last element: read, they are padding of the medium', async () => {
    const longer = (b: Uint8Array) => {
      const all = new Uint8Array(b.length + 512)
      all.set(b)
      return all
    }
    const { volume } = await load(change(9, longer))
    expectSameAsPhantom(volume)
  })
})
