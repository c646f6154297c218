import { along, createVolume, sampleAt, toWorld, type Vec3, type Volume } from '@alveometer/core'
import { chiralStorage, writeSeries } from '@alveometer/phantom'
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

const voxel = ({ data, shape }: Volume, [i, j, k]: Vec3) => data[i + shape[0] * (j + shape[1] * k)]
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
    expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'order-by-position']])
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
  it.each([-0.3, 5])(
    'Spacing Between Slices %d is contradicted by the positions, which win',
    async (spacing) => {
      const { volume, report } = await load(chiralFiles({ overrides: { SpacingBetweenSlices: spacing } }))
      expectSameAsPhantom(volume)
      expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'spacing-tag-ignored']])
    },
  )

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

  it('one slice that lies beside the stack is moved to where its position says', async () => {
    // Seven voxels of 0.3 mm: whole voxels, so nothing is interpolated and the values stay exact.
    const { volume, report } = await load(
      chiralFiles({ overrides: inSlice(10, { ImagePositionPatient: [2.1, 0, 3] }) }),
    )
    expect(codes(report)).toEqual(['tilt-resampled'])
    expect(volume.shape).toEqual([39, 32, 24])
    for (let k = 0; k < 24; k++)
      expect(voxel(volume, [16 + (k === 10 ? 7 : 0), 16, k])).toBe(voxel(phantom, [16, 16, k]))
    // Beside the other slices there is nothing, and beside the one that was moved.
    expect(sampleAt(volume, [35 * 0.3, 3, 0])).toBeNull()
    expect(sampleAt(volume, [3 * 0.3, 3, 3])).toBeNull()
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

  it.each([
    [[11], '1 slice missing between IM0011.dcm and IM0013.dcm', 'gap of 0.6 mm in steps of 0.3 mm'],
    [[11, 12, 13], '3 slices missing between IM0011.dcm and IM0015.dcm', 'gap of 1.2 mm in steps of 0.3 mm'],
  ] as const)('%j: no length stretches, the place holds no data and is named', async (gone, where, size) => {
    const { volume, report } = await load(without(...gone))
    expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'slices-missing']])
    expect(report[0]?.message).toContain(where)
    expect(report[0]?.message).toContain(size)
    expect(report[0]?.message).toMatch(/3 mm to .* mm along the stack/)
    expect(volume.shape).toEqual([32, 32, 24])
    // 6.9 mm between the first and the last slice stay 6.9 mm.
    expect(toWorld(volume.indexToWorld, [0, 0, 23])[2]).toBeCloseTo(6.9, 9)
    for (let k = 0; k < 24; k++) {
      const value = sampleAt(volume, [16 * 0.3, 16 * 0.3, k * 0.3])
      if (gone.some((g) => g === k)) expect(value).toBeNull()
      else expect(value).toBe(sampleAt(phantom, [16 * 0.3, 16 * 0.3, k * 0.3]))
    }
    // Nothing is filled in between either.
    expect(sampleAt(volume, [4.8, 4.8, 10.5 * 0.3])).toBeNull()
    expect(volume.remarks).toEqual([
      {
        level: 'warn',
        code: 'slices-missing',
        text: expect.stringContaining(`missing slices ${gone.length}`),
        facts: expect.objectContaining({ missingSlices: gone.length }),
      },
    ])
  })

  it('two separate gaps: one finding, all four neighbours listed', async () => {
    const { report, volume } = await load(without(5, 17))
    expect(codes(report)).toEqual(['slices-missing'])
    expect(report[0]?.message).toContain('2 slices missing')
    expect(report[0]?.files).toEqual(['IM0005.dcm', 'IM0007.dcm', 'IM0017.dcm', 'IM0019.dcm'])
    expect(volume.noData).toBeDefined()
  })

  it('more places empty than filled: no stack that could be trusted', async () => {
    const all = Array.from({ length: 24 }, (_, k) => k)
    const error = await refusal(without(...all.filter((k) => ![0, 1, 2, 20].includes(k))))
    expect(codes(error.report)).toEqual(['steps-irregular'])
    expect(error.message).toContain('only 4 of 21 slices are there')
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
  it('a sheared stack becomes a straight box with every slice at its own place', async () => {
    const files = chiralFiles({
      overrides: (k) => ({ ImagePositionPatient: [0, k * 0.05, z(k)[2] as number] }),
    })
    const { volume, report } = await load(files)
    expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'tilt-resampled']])
    // atan(0.05 / 0.3) = 9.46 degrees
    expect(report[0]?.message).toContain('9.5 degrees')
    expect(volume.spacingMm[2]).toBeCloseTo(0.3, 9)
    const axis = volume.indexToWorld.slice(8, 11)
    expect(axis[0]).toBeCloseTo(0, 9)
    expect(axis[1]).toBeCloseTo(0, 9)
    // 23 slices move by 1.15 mm, 3.83 voxels: four more rows.
    expect(volume.shape).toEqual([32, 36, 24])
    // Slices 6, 12 and 18 are moved by whole voxels, their values exact; beside them nothing is made up.
    for (const k of [0, 6, 12, 18])
      for (const j of [0, 15, 31])
        expect(sampleAt(volume, [15 * 0.3, j * 0.3 + k * 0.05, k * 0.3])).toBe(voxel(phantom, [15, j, k]))
    expect(sampleAt(volume, [4.5, 0.2, 6.9])).toBeNull()
  })

  it('a ball in a tilted stack is as wide in all three directions', async () => {
    const radius = 3
    const centre: Vec3 = [4.8, 4.8 + 0.6, 3.45]
    // The ball in patient space, scanned by slices that drift: each voxel holds the value at its own true place.
    const data = new Int16Array(32 * 36 * 24)
    for (let k = 0; k < 24; k++)
      for (let j = 0; j < 36; j++)
        for (let i = 0; i < 32; i++) {
          const off = Math.hypot(i * 0.3 - centre[0], j * 0.3 + k * 0.05 - centre[1], k * 0.3 - centre[2])
          // A linear edge two voxels wide: sampled lines cross the half value at the radius.
          data[i + 32 * (j + 36 * k)] = Math.round(
            1000 * Math.min(1, Math.max(0, (radius - off) / 1.2 + 0.5)),
          )
        }
    const drifting = createVolume({ data, shape: [32, 36, 24], indexToWorld: phantom.indexToWorld })
    const files = writeSeries(drifting, {
      storage: chiralStorage,
      seed: 'ball',
      overrides: (k) => ({ ImagePositionPatient: [0, k * 0.05, z(k)[2] as number] }),
    })
    const { volume } = await load(files)
    const half = (direction: Vec3) => {
      for (let r = 0; r < 5; r += 0.001)
        if ((sampleAt(volume, along(centre, direction, r)) ?? 0) < 500) return r
      return Number.NaN
    }
    const directions: Vec3[] = [
      [1, 0, 0],
      [-1, 0, 0],
      [0, 1, 0],
      [0, -1, 0],
      [0, 0, 1],
      [0, 0, -1],
      [0, 0.6, 0.8],
      [0, -0.6, 0.8],
    ]
    for (const direction of directions) expect(half(direction)).toBeCloseTo(radius, 1)
    const widths = directions.map(half)
    expect(Math.max(...widths) - Math.min(...widths)).toBeLessThan(0.05)
  })

  it('a drift below 0.1 degree loads, and every slice stays at its own place', async () => {
    const drift = (k: number) => ({ ImagePositionPatient: [0, k * 0.0004, z(k)[2] as number] })
    const { volume, report } = await load(chiralFiles({ overrides: drift }))
    expect(report).toEqual([])
    expect(toWorld(volume.indexToWorld, [0, 0, 23])[1]).toBeCloseTo(23 * 0.0004, 9)
  })
})

it('the phantom itself passes its own check', () => expectMarks(phantom))
