import { sampleAt, toWorld } from '@alveometer/core'
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

const z = (k: number) => [0, 0, Math.round(k * 3000) / 10000]

describe('slice order', () => {
  it('plain series: loads exactly, nothing to report', async () => {
    const { volume, report, series } = await load(chiralFiles())
    expectSameAsPhantom(volume)
    expect(report).toEqual([])
    expect(volume.data).toBeInstanceOf(Int16Array)
    expect(volume.grey).toEqual({ unit: 'grey value', minimum: -1000, maximum: 1700 })
    expect(series.usable).toBe(true)
  })

  it('comes from positions, not from Instance Number or file names', async () => {
    const shuffled = chiralFiles({
      overrides: { InstanceNumber: 1 },
      fileName: (k) => `IM${String((k * 7) % 24).padStart(4, '0')}.dcm`,
    }).sort((a, b) => (a.name < b.name ? -1 : 1))
    const { volume, report } = await load(shuffled)
    expectSameAsPhantom(volume)
    expect(report).toEqual([])
  })

  it('files listed from top to bottom give the same volume', async () => {
    const { volume } = await load(chiralFiles({ slices: Array.from({ length: 24 }, (_, n) => 23 - n) }))
    expectSameAsPhantom(volume)
  })

  it('the last slice lies where its file says', async () => {
    const { volume } = await load(chiralFiles())
    expect(toWorld(volume.indexToWorld, [0, 0, 23])[2]).toBeCloseTo(6.9, 9)
  })
})

describe('slice step', () => {
  it.each([-0.3, 5])('Spacing Between Slices %d is not looked at', async (spacing) => {
    const { volume } = await load(chiralFiles({ overrides: { SpacingBetweenSlices: spacing } }))
    expectSameAsPhantom(volume)
  })

  it('Slice Thickness is not looked at', async () => {
    const { volume } = await load(chiralFiles({ overrides: { SliceThickness: 1 } }))
    expectSameAsPhantom(volume)
  })

  it('positions rounded to 4 decimals load without a word', async () => {
    const rounded = (k: number) => ({ ImagePositionPatient: [0, 0, (k * 0.29999).toFixed(4)] })
    const { report, volume } = await load(chiralFiles({ overrides: rounded }))
    expect(report).toEqual([])
    expect(volume.spacingMm[2]).toBeCloseTo(0.29999, 4)
  })

  it('one slice 0.05 mm off: loads, one warning with its name and the size', async () => {
    const { report, volume } = await load(
      chiralFiles({ overrides: inSlice(10, { ImagePositionPatient: [0, 0, 3.05] }) }),
    )
    expect(codes(report)).toEqual(['uneven-steps'])
    expect(report[0]?.level).toBe('warn')
    expect(report[0]?.files).toEqual(['IM0011.dcm'])
    expect(report[0]?.message).toContain('is 0.05 mm from where the step of 0.3 mm puts it')
    expect(volume.spacingMm[2]).toBeCloseTo(0.3, 9)
  })

  it.each([0, 23])('slice %d, at an end, 0.05 mm off: that slice is named', async (k) => {
    const { report, volume } = await load(
      chiralFiles({ overrides: inSlice(k, { ImagePositionPatient: [0, 0, k * 0.3 + 0.05] }) }),
    )
    expect(codes(report)).toEqual(['uneven-steps'])
    expect(report[0]?.files).toEqual([k === 0 ? 'IM0001.dcm' : 'IM0024.dcm'])
    expect(volume.spacingMm[2]).toBeCloseTo(0.3, 9)
  })

  it('one slice a quarter of a step off is refused', async () => {
    const error = await refusal(
      chiralFiles({ overrides: inSlice(10, { ImagePositionPatient: [0, 0, 3.08] }) }),
    )
    expect(codes(error.report)).toEqual(['steps-irregular'])
    expect(error.message).toContain('IM0011.dcm')
  })

  it('one slice beside the stack is refused', async () => {
    const error = await refusal(chiralFiles({ overrides: inSlice(10, { ImagePositionPatient: [2, 0, 3] }) }))
    expect(codes(error.report)).toEqual(['steps-irregular'])
    expect(error.message).toContain('IM0011.dcm')
  })

  it('one slice half a step off is refused', async () => {
    const error = await refusal(
      chiralFiles({ overrides: inSlice(10, { ImagePositionPatient: [0, 0, 3.15] }) }),
    )
    expect(codes(error.report)).toContain('steps-irregular')
    expect(error.message).toContain('IM0011.dcm')
  })
})

describe('missing slices', () => {
  const without = (...gone: number[]) => {
    const files = chiralFiles()
    return files.filter((_, k) => !gone.includes(k))
  }

  it('one missing: names the gap, its place and its size', async () => {
    const error = await refusal(without(11))
    expect(error.code).toBe('blocked')
    expect(codes(error.report)).toEqual(['slices-missing'])
    expect(error.message).toContain('1 slice missing between IM0011.dcm and IM0013.dcm')
    expect(error.message).toContain('3 mm to 3.6 mm')
    expect(error.message).toContain('gap of 0.6 mm in steps of 0.3 mm')
    expect(error.message).toMatch(/Export/)
  })

  it('three missing in a row', async () => {
    const error = await refusal(without(11, 12, 13))
    expect(error.message).toContain('3 slices missing between IM0011.dcm and IM0015.dcm')
    expect(error.message).toContain('gap of 1.2 mm')
  })

  it('two separate gaps: both named', async () => {
    const error = await refusal(without(5, 17))
    expect(codes(error.report)).toEqual(['slices-missing', 'slices-missing'])
    expect(error.message).toContain('(1 more in the load report)')
  })
})

describe('rows and columns', () => {
  it('Pixel Spacing is row spacing first', async () => {
    const { volume } = await load(chiralFiles({ overrides: { PixelSpacing: [0.4, 0.25] } }))
    expect(volume.spacingMm[0]).toBeCloseTo(0.25, 12)
    expect(volume.spacingMm[1]).toBeCloseTo(0.4, 12)
    // Ten columns are 2.5 mm, ten rows 4 mm (PS3.3 10.7.1.3).
    expect(toWorld(volume.indexToWorld, [10, 0, 0])[0]).toBeCloseTo(2.5, 9)
    expect(toWorld(volume.indexToWorld, [0, 10, 0])[1]).toBeCloseTo(4, 9)
    // The left mark sits at columns 28 and 29, rows 15 and 16, slices 11 and 12.
    expect(sampleAt(volume, [28.5 * 0.25, 15.5 * 0.4, 11.5 * 0.3])).toBeCloseTo(1500, 6)
  })
})

describe('tilt', () => {
  it('a sheared stack is refused with its angle', async () => {
    const error = await refusal(
      chiralFiles({ overrides: (k) => ({ ImagePositionPatient: [0, k * 0.05, z(k)[2] as number] }) }),
    )
    expect(codes(error.report)).toEqual(['tilted-stack'])
    // atan(0.05 / 0.3) = 9.46 degrees
    expect(error.message).toContain('9.5 degrees')
  })

  it('a drift below 0.1 degree loads, and every slice stays at its own place', async () => {
    const drift = (k: number) => ({ ImagePositionPatient: [0, k * 0.0004, z(k)[2] as number] })
    const { volume, report } = await load(chiralFiles({ overrides: drift }))
    expect(report).toEqual([])
    expect(toWorld(volume.indexToWorld, [0, 0, 23])[1]).toBeCloseTo(23 * 0.0004, 9)
  })
})

it('the phantom itself passes its own check', () => expectMarks(phantom))
