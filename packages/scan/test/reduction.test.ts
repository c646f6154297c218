import { createVolume, sampleAt, toWorld, type Vec3, type Volume } from '@alveometer/core'
import { chiralStorage, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { inspectScan, loadScan } from '../src/index.js'
import { chiralFiles, codes, inputsOf, load, phantom, refusal } from './chiral.js'

const voxel = ({ data, shape }: Volume, [i, j, k]: Vec3) => data[i + shape[0] * (j + shape[1] * k)]

describe('half resolution', () => {
  it('every voxel is the mean of eight, at the middle of them, and the true size is said', async () => {
    const { volume, report } = await load(chiralFiles(), { half: true })
    expect(volume.shape).toEqual([16, 16, 12])
    for (const mm of volume.spacingMm) expect(mm).toBeCloseTo(0.6, 9)
    expect(toWorld(volume.indexToWorld, [0, 0, 0]).map((v) => Number(v.toFixed(9)))).toEqual([
      0.15, 0.15, 0.15,
    ])
    for (let k = 0; k < 12; k++)
      for (let j = 0; j < 16; j++)
        for (let i = 0; i < 16; i++) {
          let sum = 0
          for (const n of [0, 1, 2, 3, 4, 5, 6, 7])
            sum += voxel(phantom, [2 * i + (n & 1), 2 * j + ((n >> 1) & 1), 2 * k + (n >> 2)]) as number
          expect(voxel(volume, [i, j, k])).toBe(Math.round(sum / 8))
        }
    expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'half-resolution']])
    expect(report[0]?.message).toContain('0.6 x 0.6 x 0.6 mm')
    expect(volume.remarks[0]?.code).toBe('half-resolution')
  })

  it('a missing slice takes its pair with it: no data rather than half a mean', async () => {
    const { volume } = await load(
      chiralFiles().filter((_, k) => k !== 11),
      { half: true },
    )
    expect(volume.shape).toEqual([16, 16, 12])
    expect(voxel(volume, [8, 8, 5])).toBe(volume.noData)
    expect(voxel(volume, [8, 8, 4])).not.toBe(volume.noData)
    expect(voxel(volume, [8, 8, 6])).not.toBe(volume.noData)
  })

  it('odd sizes: the voxel without a partner is left out', async () => {
    const odd = createVolume({
      data: Int16Array.from({ length: 5 * 7 * 5 }, (_, n) => n),
      shape: [5, 7, 5],
      indexToWorld: phantom.indexToWorld,
    })
    const { volume } = await load(writeSeries(odd, { storage: chiralStorage, seed: 'odd' }), { half: true })
    expect(volume.shape).toEqual([2, 3, 2])
    expect(voxel(volume, [0, 0, 0])).toBe(Math.round((0 + 1 + 5 + 6 + 35 + 36 + 40 + 41) / 8))
  })
})

describe('a part of the scan', () => {
  const region = { from: [4, 6, 8], to: [30, 20, 19] } as const

  it('holds the voxels of its box at their own places', async () => {
    const { volume, report } = await load(chiralFiles(), { region })
    expect(volume.shape).toEqual([26, 14, 11])
    expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'region-loaded']])
    for (let k = 0; k < 11; k++)
      for (let j = 0; j < 14; j++)
        for (let i = 0; i < 26; i++)
          expect(voxel(volume, [i, j, k])).toBe(voxel(phantom, [i + 4, j + 6, k + 8]))
    const corner = toWorld(volume.indexToWorld, [0, 0, 0])
    for (const [axis, v] of toWorld(phantom.indexToWorld, [4, 6, 8]).entries())
      expect(corner[axis]).toBeCloseTo(v, 9)
  })

  it('of a tilted stack: the same as in the whole straight box', async () => {
    const tilted = chiralFiles({ overrides: (k) => ({ ImagePositionPatient: [0, k * 0.05, k * 0.3] }) })
    const whole = (await load(tilted)).volume
    const part = (await load(tilted, { region })).volume
    for (let k = 0; k < 11; k++)
      for (let j = 0; j < 14; j++)
        expect(voxel(part, [3, j, k])).toBe(
          voxel(whole, [7, j + 6, k + 8]) === whole.noData ? part.noData : voxel(whole, [7, j + 6, k + 8]),
        )
  })

  it.each([
    [{ from: [0, 0, 0], to: [33, 32, 24] }],
    [{ from: [4, 4, 4], to: [4, 8, 8] }],
    [{ from: [-1, 0, 0], to: [4, 8, 8] }],
    [{ from: [0.5, 0, 0], to: [4, 8, 8] }],
  ] as const)('%j is not a box inside the scan: refused', async (bad) => {
    const error = await refusal(chiralFiles(), { region: bad })
    expect(error.code).toBe('bad-region')
    expect(error.message).toContain('32 x 32 x 24')
  })

  it('the constant outside of a round field stays no data when the part shows only a piece of it', async () => {
    const n = 64
    const data = new Int16Array(n * n * 8)
    for (let p = 0; p < data.length; p++) {
      const [x, y] = [(p % n) - 31.5, (Math.floor(p / n) % n) - 31.5]
      data[p] = Math.hypot(x, y) > 31 ? -1000 : ((p * 7919) % 201) - 100
    }
    const field = createVolume({ data, shape: [n, n, 8], indexToWorld: phantom.indexToWorld })
    const files = writeSeries(field, { storage: chiralStorage, seed: 'field' })
    const { volume, report } = await load(files, { region: { from: [0, 20, 0], to: [20, 40, 8] } })
    expect(codes(report)).toContain('constant-outside-field')
    // Column 0 lies outside the circle of 31 voxels round 31.5 in every one of these rows.
    expect(sampleAt(volume, toWorld(field.indexToWorld, [0, 20, 3]))).toBeNull()
    expect(sampleAt(volume, toWorld(field.indexToWorld, [15, 30, 3]))).toBeCloseTo(
      data[15 + n * (30 + n * 3)] as number,
      9,
    )
  })
})

describe('memory', () => {
  it('is estimated from the headers', async () => {
    const { series } = await inspectScan(inputsOf(chiralFiles()))
    expect(series[0]?.memory.volumeBytes).toBe(2 * 32 * 32 * 24)
    expect(series[0]?.memory.peakBytes).toBeGreaterThan(2 * 32 * 32 * 24)
  })

  it('of 800 x 800 x 800 voxels of 16 bit is 1024 MB, though the files hold next to nothing', async () => {
    // RLE, because native pixels are measured against the file first.
    const header = (k: number) => ({ Rows: 800, Columns: 800, ImagePositionPatient: [0, 0, k * 0.2] })
    const [one] = chiralFiles({ syntax: 'rle', slices: [0], overrides: header(0) })
    const files = Array.from({ length: 800 }, (_, k) => {
      const [file] =
        k === 0
          ? [one]
          : writeSeries(phantom, {
              storage: chiralStorage,
              syntax: 'rle',
              slices: [0],
              overrides: { ...header(k), SOPInstanceUID: `2.25.${k}` },
            })
      return { name: `${k}.dcm`, bytes: file?.bytes ?? new Uint8Array() }
    })
    const { series } = await inspectScan(inputsOf(files))
    expect(series[0]?.shape).toEqual([800, 800, 800])
    expect(series[0]?.memory.volumeBytes).toBe(1024e6)
  })

  it('above the budget: refused before a voxel is read, with what would fit', async () => {
    let pixelsRead = 0
    const inputs = inputsOf(chiralFiles()).map((input) => ({
      ...input,
      read: (start?: number, end?: number) => {
        if ((start ?? 0) > 0) pixelsRead++
        return input.read(start, end)
      },
    }))
    const error = await loadScan(inputs, { budgetBytes: 20_000 }).catch((e: unknown) => e)
    expect(error).toMatchObject({
      code: 'too-large',
      offer: {
        neededBytes: 49152,
        budgetBytes: 20_000,
        shape: [32, 32, 24],
        half: { bytes: 6144, shape: [16, 16, 12] },
      },
    })
    expect(pixelsRead).toBe(0)
    await expect(loadScan(inputs, { budgetBytes: 20_000, half: true })).resolves.toBeDefined()
    await expect(loadScan(inputs, { budgetBytes: 3_000 })).rejects.toMatchObject({ offer: { half: null } })
  })
})
