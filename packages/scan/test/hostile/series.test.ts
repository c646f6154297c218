import { createVolume, sampleAt } from '@alveometer/core'
import { chiralStorage, type NamedBytes, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithData, sharedData } from '../../../../tests/shared-data.js'
import { inspectScan, loadScan } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import {
  chiralFiles,
  codes,
  expectMarks,
  expectSameAsPhantom,
  inputsOf,
  inSlice,
  load,
  phantom,
  refusal,
} from '../chiral.js'

const seriesUid = '2.25.31'
const base = chiralFiles({ overrides: { SeriesInstanceUID: seriesUid } })
const within = (files: readonly NamedBytes[], folder: string) =>
  files.map((f) => ({ ...f, name: `${folder}/${f.name}` }))

/** Slices of nothing, with elements of their own. */
function flat(overrides: object, [nx, ny, nz]: readonly [number, number, number]): NamedBytes[] {
  const volume = createVolume({
    data: new Int16Array(nx * ny * nz),
    shape: [nx, ny, nz],
    indexToWorld: phantom.indexToWorld,
  })
  return writeSeries(volume, { storage: chiralStorage, seed: 'flat', overrides: { ...overrides } })
}

describe('what does not belong to the stack', () => {
  const ids = { SeriesInstanceUID: seriesUid, StudyInstanceUID: '2.25.6', FrameOfReferenceUID: '2.25.7' }
  const own = chiralFiles({ overrides: ids })

  it.each([
    ['marked LOCALIZER', ['ORIGINAL', 'PRIMARY', 'LOCALIZER'], 'localizer-left-out'],
    ['not marked', ['ORIGINAL', 'PRIMARY', 'AXIAL'], 'image-left-out'],
  ] as const)(
    'a scout of the series, %s, before, among or behind the slices: left out',
    async (_, type, code) => {
      const [scout] = flat(
        { ...ids, ImageType: [...type], ImageOrientationPatient: [0, 1, 0, 0, 0, -1] },
        [40, 32, 1],
      ) as [NamedBytes]
      for (const at of [0, 11, 24]) {
        const { volume, report } = await load([
          ...own.slice(0, at),
          { ...scout, name: 'scout.dcm' },
          ...own.slice(at),
        ])
        expectSameAsPhantom(volume)
        expect(report.map((r) => [r.level, r.code, r.files])).toEqual([['note', code, ['scout.dcm']]])
      }
    },
  )

  it('two scouts of one series, across each other: no volume, and no slice distance between them', async () => {
    const scout = (orientation: readonly number[], n: number) =>
      flat(
        {
          ...ids,
          SOPInstanceUID: `2.25.8${n}`,
          ImageType: ['ORIGINAL', 'PRIMARY', 'LOCALIZER'],
          ImageOrientationPatient: [...orientation],
        },
        [16, 16, 1],
      )
    const files = [
      ...within(scout([0, 1, 0, 0, 0, -1], 1), 'a'),
      ...within(scout([1, 0, 0, 0, 0, -1], 2), 'b'),
    ]
    const error = await refusal(files)
    expect(codes(error.report.filter((r) => r.level === 'block'))).toEqual(['not-a-volume'])
    const { series } = await inspectScan(inputsOf(files))
    expect(series.map((s) => [s.localizer, s.usable, s.spacingMm])).toEqual([[true, false, null]])
  })

  it('20 + 10 slices of two series: never 30 of one', async () => {
    const second = within(flat({ SeriesInstanceUID: '2.25.32' }, [32, 32, 10]), 'second')
    expect((await refusal([...base.slice(0, 20), ...second])).code).toBe('series-ambiguous')
    const { volume } = await load([...base.slice(0, 20), ...second], { seriesUid })
    expect(volume.shape).toEqual([32, 32, 20])
    expect(sampleAt(volume, [8.55, 4.65, 3.45])).toBeCloseTo(1500, 6)
  })

  it('a smaller series of another patient: warned of, chosen apart, no name or number of anybody in the report', async () => {
    const stranger = {
      SeriesInstanceUID: '2.25.33',
      PatientID: 'OTHER-7',
      PatientName: 'Stranger^Any',
      PatientBirthDate: '19500101',
    }
    const files = [...base, ...within(flat(stranger, [20, 20, 5]), 'other')]
    const error = await refusal(files)
    expect(error.code).toBe('series-ambiguous')
    const { volume, report } = await load(files, { seriesUid })
    expectSameAsPhantom(volume)
    expect(report.map((r) => [r.level, r.code])).toEqual([
      ['warn', 'several-patients'],
      ['note', 'other-series'],
    ])
    expect(volume.remarks.map((r) => r.code)).toContain('several-patients')
    expect(JSON.stringify([report, volume.remarks, error.report, error.message])).not.toMatch(
      /OTHER-7|Stranger|1950/,
    )
  })

  it('one slice of another patient, study or space: taken apart, the gap it leaves is no data', async () => {
    for (const [overrides, code] of [
      [{ PatientID: 'OTHER-7' }, 'several-patients'],
      [{ StudyInstanceUID: '2.25.40' }, 'series-split'],
      [{ FrameOfReferenceUID: '2.25.41' }, 'series-split'],
    ] as const) {
      const { volume, report } = await load(chiralFiles({ overrides: inSlice(11, overrides) }))
      expect(codes(report)).toEqual(expect.arrayContaining([code, 'slices-missing']))
      expectMarksBut(volume)
      expect(sampleAt(volume, [4.8, 4.8, 3.3])).toBeNull()
    }
  })

  /** The marks at left and in front stand half in the slice that is gone. */
  function expectMarksBut(volume: Parameters<typeof sampleAt>[0]) {
    expect(sampleAt(volume, [4.65, 4.65, 6.15])).toBeCloseTo(1700, 6)
    expect(volume.shape).toEqual([32, 32, 24])
  }
})

describe('repeats', () => {
  it('every file twice, in two folders: the volume, one note', async () => {
    const { volume, report } = await load([...within(base, 'a'), ...within(base, 'copy of a')])
    expectSameAsPhantom(volume)
    expect(report.map((r) => [r.level, r.code])).toEqual([['note', 'duplicate-dropped']])
    expect(report[0]?.files).toHaveLength(24)
  })

  it('one of them compressed another way: equal pixels by another road are no proof, refused', async () => {
    const rle = chiralFiles({ syntax: 'rle', slices: [5], overrides: { SeriesInstanceUID: seriesUid } })
    const error = await refusal([...base, ...within(rle, 'rle')])
    expect(codes(error.report)).toEqual(['same-uid-other-pixels'])
  })

  it('the same pixels at another place under one UID: refused, both named', async () => {
    const moved = chiralFiles({
      slices: [5],
      overrides: { SeriesInstanceUID: seriesUid, ImagePositionPatient: [0, 0, 7.2] },
    })
    const error = await refusal([...base, ...within(moved, 'moved')])
    expect(codes(error.report)).toEqual(['same-uid-other-pixels'])
    expect(error.message).toContain('IM0006.dcm and moved/IM0001.dcm')
  })
})

describeWithData('a real series and the scout of its study', 'phantom-skull-tilt0-bone', (folder) => {
  it('the scout is a series of its own, marked, and the scan is loaded', async () => {
    const scout = sharedData('phantom-localizer')
    if (scout === null) throw new Error('the scout is missing')
    const { volume, series, report } = await loadScan([
      ...(await inputsFromPath(scout)),
      ...(await inputsFromPath(folder)),
    ])
    expect(volume.shape).toEqual([512, 512, 36])
    expect(series.localizer).toBe(false)
    expect(codes(report)).toContain('other-series')
  })

  it('one file of it twice: dropped, nothing moves', async () => {
    const inputs = await inputsFromPath(folder)
    const twice = [
      ...inputs,
      ...inputs.filter((i) => i.name === 'I700').map((i) => ({ ...i, name: 'I700 copy' })),
    ]
    const [a, b] = [await loadScan(inputs), await loadScan(twice)]
    expect(b.volume.identity).toEqual(a.volume.identity)
    expect(codes(b.report)).toContain('duplicate-dropped')
  })

  it('one file of it cut short: refused, its file named, nothing filled', async () => {
    const inputs = (await inputsFromPath(folder)).map((i) =>
      i.name === 'I700' ? { name: i.name, size: i.size >> 1, read: i.read } : i,
    )
    const error = await loadScan(inputs).catch((e: unknown) => e)
    expect(error).toMatchObject({ code: 'blocked' })
    expect(String(error)).toContain('I700 is cut short')
  })
})

describeWithData(
  'two patients, nine series and an index in one folder',
  'odd-dicom/dicomdir-tree',
  (folder) => {
    it('the same list whatever the order of the files', async () => {
      const inputs = await inputsFromPath(folder)
      const listed = async (files: typeof inputs) => {
        const { series } = await inspectScan(files)
        return series
          .map((s) => JSON.stringify([s.id, s.shape, s.usable, s.localizer, s.indexToWorld]))
          .sort()
      }
      expect(await listed([...inputs].reverse())).toEqual(await listed(inputs))
    })
  },
)

it('the helpers of this file agree with the phantom', () => expectMarks(phantom))
