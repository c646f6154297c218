import { createVolume, sampleAt } from '@alveometer/core'
import { type Dataset, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import {
  chiralFiles,
  codes,
  expectMarks,
  expectSameAsPhantom,
  inSlice,
  load,
  phantom,
  refusal,
} from './chiral.js'

const air = [0.3, 0.3, 3] as const
/** Reads and rewrites the 16 bit words of a slice's pixel data. */
const rewrite = (slice: Dataset, change: (word: number) => number): Uint8Array => {
  const bytes = Uint8Array.from(slice.PixelData as Uint8Array)
  const view = new DataView(bytes.buffer)
  for (let at = 0; at < bytes.length; at += 2)
    view.setUint16(at, change(view.getUint16(at, true)) & 0xffff, true)
  return bytes
}

describe('rescale', () => {
  it('slope 2, intercept -3000: grey = slope x stored + intercept', async () => {
    const { volume } = await load(chiralFiles({ overrides: { RescaleSlope: 2, RescaleIntercept: -3000 } }))
    expect(sampleAt(volume, air)).toBe(-3000)
    expect(volume.grey.maximum).toBe(2 * 2700 - 3000)
    expect(volume.data).toBeInstanceOf(Int16Array)
  })

  it('slope below 1 gives fractions, not zeros', async () => {
    const { volume } = await load(chiralFiles({ overrides: { RescaleSlope: 0.25, RescaleIntercept: 0 } }))
    expect(volume.data).toBeInstanceOf(Float32Array)
    expect(volume.grey.maximum).toBe(675)
    const odd = await load(
      chiralFiles({
        overrides: (_, slice) => ({
          RescaleSlope: 0.25,
          RescaleIntercept: 0,
          PixelData: rewrite(slice, (w) => (w === 0 ? 18 : w)),
        }),
      }),
    )
    expect(sampleAt(odd.volume, air)).toBe(4.5)
  })

  it('a slope that differs between slices is applied slice by slice', async () => {
    const split = (k: number, slice: Dataset): Dataset =>
      k < 11 || k > 20
        ? {}
        : {
            RescaleSlope: 0.4,
            PixelData: rewrite(slice, (w) => Math.round(w / 0.4)),
            BitsStored: 16,
            HighBit: 15,
          }
    const { volume, report } = await load(chiralFiles({ overrides: split }))
    expect(codes(report)).toEqual(['rescale-varies'])
    expect(report[0]?.level).toBe('note')
    for (let i = 0; i < volume.data.length; i++)
      expect(Math.abs((volume.data[i] as number) - (phantom.data[i] as number))).toBeLessThanOrEqual(0.2)
  })

  it('whole slopes in some slices and fractions in others: no value is cut', async () => {
    const half = (k: number) => (k < 12 ? {} : { RescaleSlope: 0.5 })
    const { volume } = await load(chiralFiles({ overrides: half }))
    expect(volume.data).toBeInstanceOf(Float32Array)
    // The upper mark, stored 2700, lies in the slices of slope 0.5.
    expect(sampleAt(volume, [4.65, 4.65, 6.15])).toBe(350)
  })

  it.each([
    ['empty', { RescaleSlope: null, RescaleIntercept: null }],
    ['absent', { RescaleSlope: undefined, RescaleIntercept: undefined }],
  ])('%s: values as stored, warned, never called HU', async (_, overrides) => {
    const { volume, report } = await load(
      chiralFiles({ overrides: { ...overrides, RescaleType: undefined } }),
    )
    expect(sampleAt(volume, air)).toBe(0)
    expect(volume.grey.unit).toBe('grey value')
    expect(codes(report)).toEqual(['rescale-missing'])
    expect(report[0]?.level).toBe('warn')
  })

  it('missing in one slice only: refused, file named', async () => {
    const error = await refusal(chiralFiles({ overrides: inSlice(4, { RescaleSlope: null }) }))
    expect(codes(error.report)).toEqual(['rescale-missing-in-some'])
    expect(error.message).toContain('IM0005.dcm')
  })

  it('slope 0: refused', async () => {
    const error = await refusal(chiralFiles({ overrides: { RescaleSlope: 0 } }))
    expect(codes(error.report)).toEqual(['rescale-slope-zero'])
  })

  it('a slope no scanner writes: refused', async () => {
    const error = await refusal(chiralFiles({ overrides: { RescaleSlope: '1E+300' } }))
    expect(codes(error.report)).toEqual(['rescale-implausible'])
  })

  it('decimal comma in the intercept: refused, not taken as absent', async () => {
    const error = await refusal(
      chiralFiles({ overrides: { RescaleIntercept: { vr: 'DS', value: '-1000,5' } } }),
    )
    expect(codes(error.report)).toContain('decimal-comma')
  })

  it('MONOCHROME1 is for display: values unchanged', async () => {
    const { volume, report } = await load(
      chiralFiles({ overrides: { PhotometricInterpretation: 'MONOCHROME1' } }),
    )
    expectSameAsPhantom(volume)
    expect(codes(report)).toEqual(['inverted-display'])
  })

  it('declared smallest and largest values are not looked at', async () => {
    const { volume } = await load(
      chiralFiles({ overrides: { SmallestImagePixelValue: 900, LargestImagePixelValue: 1000 } }),
    )
    expectSameAsPhantom(volume)
  })
})

describe('unit', () => {
  const HU = 'HU as written by the device, not calibrated'
  it.each([
    ['Rescale Type HU', { RescaleType: 'HU' }, HU],
    ['CT with rescale, no type', { RescaleType: undefined }, HU],
    ['Rescale Type US', { RescaleType: 'US' }, 'grey value'],
    ['no type, not CT', { RescaleType: undefined, Modality: 'MR' }, 'grey value'],
  ])('%s', async (_, overrides, unit) => {
    const { volume, report } = await load(chiralFiles({ overrides }))
    expect(codes(report)).toEqual('Modality' in overrides ? ['modality-not-ct'] : [])
    expect(volume.grey.unit).toBe(unit)
  })
})

describe('stored bits', () => {
  it('bits above Bits Stored are masked away', async () => {
    const dirty = (_: number, slice: Dataset) => ({ PixelData: rewrite(slice, (w) => w | 0xf000) })
    const { volume } = await load(chiralFiles({ overrides: dirty }))
    expectSameAsPhantom(volume)
  })

  it('High Bit 15 with 12 bits stored: values sit in the upper bits', async () => {
    const high = (_: number, slice: Dataset) => ({
      HighBit: 15,
      PixelData: rewrite(slice, (w) => (w << 4) | 0x9),
    })
    const { volume } = await load(chiralFiles({ overrides: high }))
    expectSameAsPhantom(volume)
  })

  it('12 bit signed values are sign-extended from bit 11', async () => {
    const signed = (_: number, slice: Dataset) => ({
      PixelRepresentation: 1,
      RescaleIntercept: 0,
      PixelData: rewrite(slice, (w) => (w - 1000) & 0x0fff),
    })
    const { volume } = await load(chiralFiles({ overrides: signed }))
    expectMarks(volume)
    expect(volume.grey.minimum).toBe(-1000)
  })

  it('values beyond 16 bit signed widen the array and stay exact', async () => {
    const big = (k: number, slice: Dataset) => ({
      BitsStored: 16,
      HighBit: 15,
      PixelData: rewrite(slice, (w) => (k === 20 && w === 0 ? 65535 : w)),
    })
    const { volume } = await load(chiralFiles({ overrides: big }))
    expect(volume.data).toBeInstanceOf(Float32Array)
    expectMarks(volume)
    expect(volume.grey.minimum).toBe(-1000)
    expect(volume.grey.maximum).toBe(64535)
  })
})

describe('padding', () => {
  const inside = (i: number, j: number) => Math.hypot(i - 15.5, j - 15.5) <= 12
  const padded = createVolume({
    data: Int16Array.from(phantom.data, (v, at) => (inside(at % 32, Math.floor(at / 32) % 32) ? v : -2000)),
    shape: phantom.shape,
    indexToWorld: phantom.indexToWorld,
    noData: -2000,
  })

  it('is no data, and values at its rim do not move', async () => {
    const { volume, report } = await load(writeSeries(padded))
    expect(codes(report)).toEqual(['padding'])
    expect(volume.noData).toBe(-32768)
    expect(volume.grey.minimum).toBe(-1000)
    expect(sampleAt(volume, air)).toBeNull()
    const rim = [15 * 0.3, 4 * 0.3, 3] as const
    expect(sampleAt(volume, rim)).toBe(sampleAt(phantom, rim))
    const count = volume.data.filter((v) => v === volume.noData).length
    expect(count).toBe(padded.data.filter((v) => v === -2000).length)
  })

  it('is compared before the rescale', async () => {
    const { volume } = await load(
      writeSeries(padded, { overrides: { RescaleSlope: 2, RescaleIntercept: 5 } }),
    )
    expect(sampleAt(volume, air)).toBeNull()
    expect(volume.grey.minimum).toBe(-1995)
  })

  it('with a range limit takes the whole range', async () => {
    const { volume } = await load(writeSeries(padded, { overrides: { PixelPaddingRangeLimit: -1000 } }))
    expect(volume.grey.minimum).toBe(0)
  })

  it('in 16 bit data that use every value, no data keeps a number of its own', async () => {
    const full = (k: number, slice: Dataset) => ({
      PixelData: rewrite(slice, (w) => (k === 3 && w === 0xfc18 ? 0x8000 : w)),
    })
    const { volume } = await load(writeSeries(padded, { overrides: full }))
    expect(volume.grey.minimum).toBe(-32768)
    expect(volume.noData).not.toBe(-32768)
    expect(sampleAt(volume, air)).toBeNull()
  })

  it('declared but never used leaves no mark', async () => {
    const { volume, report } = await load(
      chiralFiles({ overrides: { PixelPaddingValue: { vr: 'US', value: 4095 } } }),
    )
    expect(volume.noData).toBeUndefined()
    expect(report).toEqual([])
  })
})
