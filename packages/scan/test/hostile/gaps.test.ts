import { createVolume, reslice, sampleAt, toWorld, type Volume } from '@alveometer/core'
import { writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithData } from '../../../../tests/shared-data.js'
import { loadScan } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import { chiralFiles, codes, expectMarks, load, phantom, refusal } from '../chiral.js'

const warnings = (report: readonly { level: string; code: string }[]) =>
  codes(report.filter((r) => r.level === 'warn'))

describe('slices that are not there', () => {
  const without = (...gone: number[]) => chiralFiles().filter((_, k) => !gone.includes(k))

  it.each([[[1]], [[22]], [[3, 4, 5]], [[2, 9, 18]]])(
    '%j: no mark moves, no length stretches',
    async (gone) => {
      const { volume, report } = await load(without(...gone))
      expect(warnings(report)).toEqual(['slices-missing'])
      expectMarks(volume)
      expect(
        toWorld(volume.indexToWorld, [0, 0, 23])[2] - toWorld(volume.indexToWorld, [0, 0, 0])[2],
      ).toBeCloseTo(6.9, 9)
    },
  )

  it('a picture across the gap is empty there and nowhere else', async () => {
    const { volume } = await load(without(11))
    // Sagittal through the middle, one pixel a voxel.
    const plane = {
      origin: [4.8, 0, 0] as const,
      du: [0, 0.3, 0] as const,
      dv: [0, 0, 0.3] as const,
      width: 32,
      height: 24,
    }
    const [holed, whole] = [reslice(volume, plane), reslice(phantom, plane)]
    for (let n = 0; n < whole.length; n++) {
      if (Math.floor(n / 32) === 11) expect(holed[n]).toBeNaN()
      else expect(holed[n]).toBe(whole[n])
    }
  })

  it('10 mm in steps of 5 mm: named, and the step stays 5 mm', async () => {
    const places = [0, 5, 10, 20]
    const { volume, report } = await load(
      chiralFiles({
        slices: [0, 1, 2, 3],
        overrides: (k) => ({ ImagePositionPatient: [0, 0, places[k] ?? 0] }),
      }),
    )
    expect(warnings(report)).toEqual(['slices-missing'])
    expect(report[0]?.message).toContain('between IM0003.dcm and IM0004.dcm')
    expect(report[0]?.message).toContain('gap of 10 mm in steps of 5 mm')
    expect(volume.spacingMm[2]).toBeCloseTo(5, 9)
    expect(volume.shape).toEqual([32, 32, 5])
    for (const [k, z] of places.entries())
      expect(sampleAt(volume, [4.8, 4.8, z])).toBe(sampleAt(phantom, [4.8, 4.8, 0.3 * k]))
    expect(sampleAt(volume, [4.8, 4.8, 15])).toBeNull()
  })

  it('a gap of one step and a half is no missing slice: refused', async () => {
    const error = await refusal(
      chiralFiles({ overrides: (k) => ({ ImagePositionPatient: [0, 0, 0.3 * k + (k > 11 ? 0.15 : 0)] }) }),
    )
    expect(codes(error.report)).toEqual(['steps-irregular'])
    expect(error.message).toContain('between IM0012.dcm and IM0013.dcm')
  })

  it('a gap in a sheared stack: both named, every slice at its own place', async () => {
    const { volume, report } = await load(
      chiralFiles({ overrides: (k) => ({ ImagePositionPatient: [0, 0.05 * k, 0.3 * k] }) }).filter(
        (_, k) => k !== 7,
      ),
    )
    expect(warnings(report)).toEqual(['slices-missing', 'tilt-resampled'])
    // Whole voxels in slices 0, 6, 12 and 18: exact there.
    for (const k of [0, 6, 12, 18])
      expect(sampleAt(volume, [4.5, 4.5 + 0.05 * k, 0.3 * k])).toBe(sampleAt(phantom, [4.5, 4.5, 0.3 * k]))
    expect(sampleAt(volume, [4.5, 4.5 + 0.35, 2.1])).toBeNull()
  })
})

describe('a slice that is not there, beside other places without data', () => {
  const n = 64
  /** A round field of noise; outside of it one constant, or no data. */
  function field(noData?: number): Volume {
    const data = new Int16Array(n * n * 12)
    for (let p = 0; p < data.length; p++) {
      const inside = Math.hypot((p % n) - 31.5, (Math.floor(p / n) % n) - 31.5) <= 31
      data[p] = inside ? ((p * 7919) % 201) + 100 : (noData ?? -1000)
    }
    const { indexToWorld } = phantom
    return createVolume({
      data,
      shape: [n, n, 12],
      indexToWorld,
      ...(noData === undefined ? {} : { noData }),
    })
  }

  it.each([
    ['declared padding', field(-2000), 'padding'],
    ['a constant round the field', field(), 'constant-outside-field'],
  ] as const)('%s', async (_, scanned, code) => {
    const files = writeSeries(scanned, { seed: 'field' }).filter((_, k) => k !== 5)
    const region = { from: [10, 10, 3], to: [50, 50, 9] } as const
    for (const [options, middle] of [
      [{}, [31, 31, 5]],
      [{ region }, [21, 21, 2]],
      [{ half: true }, [15, 15, 2]],
    ] as const) {
      const { volume, report } = await load(files, options)
      expect(codes(report)).toEqual(expect.arrayContaining(['slices-missing', code]))
      const [i, j, k] = middle
      const plane = volume.data.subarray(
        volume.shape[0] * volume.shape[1] * k,
        volume.shape[0] * volume.shape[1] * (k + 1),
      )
      expect(plane.every((v) => v === volume.noData)).toBe(true)
      const at = (slice: number) => volume.data[i + volume.shape[0] * (j + volume.shape[1] * slice)]
      expect(at(k - 1)).not.toBe(volume.noData)
      expect(at(k + 1)).not.toBe(volume.noData)
    }
  })
})

describeWithData('a real series with slices taken out', 'phantom-skull-tilt0-bone', (folder) => {
  const all = inputsFromPath(folder)
  const full = all.then((inputs) => loadScan(inputs))
  const slice = ({ data }: Volume, k: number) => data.subarray(k * 512 * 512, (k + 1) * 512 * 512)

  it.each([
    [['I740'], 'between I730 and I750', 'gap of 2 mm in steps of 1 mm'],
    [['I600', 'I610', 'I800'], 'between I590 and I620', 'gap of 3 mm in steps of 1 mm'],
  ] as const)('%j: every other voxel is where it was', async (gone, where, size) => {
    const inputs = (await all).filter((i) => !gone.some((name) => name === i.name))
    const [{ volume, report }, { volume: whole }] = [await loadScan(inputs), await full]
    expect(warnings(report)).toEqual(['slices-missing'])
    const gap = report.find((r) => r.code === 'slices-missing')
    expect(gap?.message).toContain(where)
    expect(gap?.message).toContain(size)
    expect(gap?.facts?.missingSlices).toBe(gone.length)
    expect(volume.shape).toEqual(whole.shape)
    volume.indexToWorld.forEach((m, n) => {
      expect(m).toBeCloseTo(whole.indexToWorld[n] as number, 9)
    })
    // I570 is the first slice, one mm each.
    const missing = gone.map((name) => (Number(name.slice(1)) - 570) / 10)
    for (let k = 0; k < 36; k++) {
      if (missing.includes(k)) expect(slice(volume, k).every((v) => v === volume.noData)).toBe(true)
      else expect(Buffer.compare(bytes(slice(volume, k)), bytes(slice(whole, k)))).toBe(0)
    }
  })
})

const bytes = (array: ArrayBufferView) => Buffer.from(array.buffer, array.byteOffset, array.byteLength)
