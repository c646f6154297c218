import { createVolume, sampleAt, type Volume } from '@alveometer/core'
import { type Dataset, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithData } from '../../../../tests/shared-data.js'
import { loadScan } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import {
  chiralFiles,
  codes,
  expectMarks,
  expectSameAsPhantom,
  inSlice,
  load,
  phantom,
  refusal,
} from '../chiral.js'

describe('a rescale of its own', () => {
  it('one slice with intercept 0: that slice alone is 1000 higher', async () => {
    const { volume, report } = await load(chiralFiles({ overrides: inSlice(6, { RescaleIntercept: 0 }) }))
    expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'rescale-varies']])
    for (let n = 0; n < volume.data.length; n++)
      expect(volume.data[n]).toBe((phantom.data[n] as number) + (Math.floor(n / 1024) === 6 ? 1000 : 0))
    expect(volume.grey.maximum).toBe(2200)
    expectMarks(volume)
  })

  it('the first slice of slope 1 and the last of 4.5: no value is cut to a whole number', async () => {
    const { volume } = await load(
      chiralFiles({ overrides: inSlice(23, { RescaleSlope: 4.5, RescaleIntercept: 0.25 }) }),
    )
    // Stored 1000 inside the disc, 0 in air.
    const last = 23 * 1024
    expect(volume.data[last + 16 * 32 + 16]).toBe(4500.25)
    expect(volume.data[last]).toBe(0.25)
    expect(volume.data[16 * 32 + 16]).toBe(0)
    expectMarks(volume)
  })

  it('every voxel of a few slices is stored x slope + intercept in double precision', async () => {
    const rescale = (k: number) => ({ RescaleSlope: 0.1 + 0.013 * k, RescaleIntercept: -1000 + 0.37 * k })
    const { volume } = await load(chiralFiles({ overrides: rescale }))
    for (let n = 0; n < volume.data.length; n += 97) {
      const { RescaleSlope: slope, RescaleIntercept: intercept } = rescale(Math.floor(n / 1024))
      const exact = ((phantom.data[n] as number) + 1000) * slope + intercept
      // Decimal strings hold 16 characters; single precision holds 24 bits.
      expect(Math.abs((volume.data[n] as number) - exact)).toBeLessThanOrEqual(
        Math.abs(exact) * 2 ** -24 + 1e-9,
      )
    }
  })

  it.each([
    ['slope empty, intercept given', { RescaleSlope: '' }],
    ['intercept absent, slope given', { RescaleIntercept: undefined }],
  ])('%s: values as stored, said so, no intercept made up', async (_, overrides) => {
    const { volume, report } = await load(chiralFiles({ overrides }))
    expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'rescale-missing']])
    expect(sampleAt(volume, [0.3, 0.3, 3])).toBe(0)
    expect(volume.grey.unit).toBe('grey value')
  })
})

describe('numbers that are only for display', () => {
  it.each([
    ['MONOCHROME1', { PhotometricInterpretation: 'MONOCHROME1' }, ['inverted-display']],
    ['smallest and largest value far off', { SmallestImagePixelValue: 900, LargestImagePixelValue: 901 }, []],
    ['a window that shows nothing', { WindowCenter: 30000, WindowWidth: 1 }, []],
    ['a Presentation LUT that inverts', { PresentationLUTShape: 'INVERSE' }, []],
  ] as const)('%s: values and range unchanged', async (_, overrides, expected) => {
    const { volume, report } = await load(chiralFiles({ overrides }))
    expectSameAsPhantom(volume)
    expect(volume.grey).toMatchObject({ minimum: -1000, maximum: 1700 })
    expect(codes(report)).toEqual(expected)
  })
})

describe('padding -2000, signed, outside a circle', () => {
  const radius = (p: number) => Math.hypot((p % 32) - 15.5, (Math.floor(p / 32) % 32) - 15.5)
  const padded = createVolume({
    data: Int16Array.from(phantom.data, (v, p) => (radius(p) <= 12 ? v : -2000)),
    shape: phantom.shape,
    indexToWorld: phantom.indexToWorld,
    noData: -2000,
  })
  const mean = (volume: Volume, inside: (p: number) => boolean) => {
    let [sum, count] = [0, 0]
    for (let p = 0; p < volume.data.length; p++) {
      if (!inside(p) || volume.data[p] === volume.noData) continue
      sum += volume.data[p] as number
      count++
    }
    return sum / count
  }

  it('an average near the rim does not move, whatever lies beyond it', async () => {
    const { volume, report } = await load(writeSeries(padded))
    expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'padding']])
    const within = mean(phantom, (p) => radius(p) > 9 && radius(p) <= 12)
    expect(mean(volume, (p) => radius(p) > 9 && radius(p) < 15)).toBe(within)
    expect(volume.grey).toMatchObject({ minimum: -1000, maximum: 1700 })
  })

  it('samples along a radius are those of the scan up to the rim, and none beyond', async () => {
    const { volume } = await load(writeSeries(padded))
    for (let r = 0; r < 4.8; r += 0.05) {
      const point = [4.65 + r, 4.65, 3.45] as const
      const ours = sampleAt(volume, point)
      if (r / 0.3 < 11) expect(ours).toBe(sampleAt(phantom, point))
      if (r / 0.3 > 12.1) expect(ours).toBeNull()
    }
  })

  it('half resolution: a block that touches padding holds no data instead of half a mean', async () => {
    const { volume } = await load(writeSeries(padded), { half: true })
    for (let p = 0; p < volume.data.length; p++) {
      const [i, j] = [2 * (p % 16), 2 * (Math.floor(p / 16) % 16)]
      const touched = [0, 1].some((a) => [0, 1].some((b) => Math.hypot(i + a - 15.5, j + b - 15.5) > 12))
      expect(volume.data[p] === volume.noData).toBe(touched)
    }
  })

  it.each([
    ['written as unsigned, 63536', { vr: 'US', value: 63536 }],
    ['written as signed, -2000', { vr: 'SS', value: -2000 }],
  ])('a padding value %s is the same 16 bits', async (_, value) => {
    const { volume } = await load(writeSeries(padded, { overrides: { PixelPaddingValue: value } }))
    expect(volume.data.filter((v) => v === volume.noData).length).toBe(
      padded.data.filter((v) => v === -2000).length,
    )
  })
})

describe('pixels of a width that no scanner of jaws writes', () => {
  it.each(['explicitLittle', 'explicitBig', 'implicitLittle'] as const)(
    '32 bit, %s: refused',
    async (syntax) => {
      const wide = (_: number, slice: Dataset) => ({
        BitsAllocated: 32,
        BitsStored: 32,
        HighBit: 31,
        PixelData: new Uint8Array(2 * (slice.PixelData as Uint8Array).length),
      })
      const error = await refusal(chiralFiles({ syntax, overrides: wide }))
      expect(codes(error.report)).toEqual(['not-a-density-image'])
      expect(error.message).toContain('IM0001.dcm')
    },
  )

  it('8 bit: read', async () => {
    const narrow = (_: number, slice: Dataset) => {
      const words = new Uint16Array((slice.PixelData as Uint8Array).slice().buffer)
      return {
        BitsAllocated: 8,
        BitsStored: 8,
        HighBit: 7,
        RescaleIntercept: 0,
        PixelData: { vr: 'OB', value: Uint8Array.from(words, (w) => w >> 4) },
      }
    }
    const { volume } = await load(chiralFiles({ overrides: narrow }))
    for (let n = 0; n < volume.data.length; n++)
      expect(volume.data[n]).toBe(((phantom.data[n] as number) + 1000) >> 4)
  })
})

describeWithData('real slices of which one has another intercept', 'phantom-skull-tilt0-bone', (folder) => {
  it('that slice alone is moved', async () => {
    const inputs = await inputsFromPath(folder)
    const { volume: whole } = await loadScan(inputs)
    const changed = inputs.map((input) => {
      if (input.name !== 'I800') return input
      return {
        ...input,
        read: async (start = 0, end = input.size) => {
          const bytes = Uint8Array.from(await input.read(start, end))
          const at = Buffer.from(bytes.subarray(0, 16384)).indexOf('-1024')
          if (start === 0 && at >= 0) bytes.set(Buffer.from('-0024'), at)
          return bytes
        },
      }
    })
    const { volume, report } = await loadScan(changed)
    expect(codes(report)).toContain('rescale-varies')
    const slice = 512 * 512
    for (let n = 0; n < volume.data.length; n += 1009)
      expect(volume.data[n]).toBe((whole.data[n] as number) + (Math.floor(n / slice) === 23 ? 1000 : 0))
  })
})
