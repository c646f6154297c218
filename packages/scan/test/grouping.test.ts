import { createVolume } from '@alveometer/core'
import { chiralStorage, type NamedBytes, writeSeries, zipSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { inputFromBytes, inputsFromFiles, inspectScan, loadScan } from '../src/index.js'
import {
  chiralFiles,
  codes,
  expectSameAsPhantom,
  inputsOf,
  inSlice,
  load,
  phantom,
  refusal,
} from './chiral.js'

const seriesUid = '2.25.1001'
const base = chiralFiles({ overrides: { SeriesInstanceUID: seriesUid } })
const named = (files: readonly NamedBytes[], prefix: string) =>
  files.map((f) => ({ ...f, name: `${prefix}${f.name}` }))
const bytes = (text: string) => new TextEncoder().encode(text)

/** A small flat series of its own. */
function otherSeries(overrides: object, size: readonly [number, number], slices: number): NamedBytes[] {
  const volume = createVolume({
    data: new Int16Array(size[0] * size[1] * slices),
    shape: [size[0], size[1], slices],
    indexToWorld: phantom.indexToWorld,
  })
  return writeSeries(volume, { storage: chiralStorage, seed: 'other', overrides: { ...overrides } })
}

describe('localizers', () => {
  it.each([
    ['marked LOCALIZER', ['ORIGINAL', 'PRIMARY', 'LOCALIZER'], 'localizer-left-out'],
    ['not marked', ['ORIGINAL', 'PRIMARY', 'AXIAL'], 'image-left-out'],
  ] as const)('one inside the series, %s: left out with a note', async (_, imageType, code) => {
    // One study and one frame of reference, so that only Image Type and geometry tell the two apart.
    const shared = { SeriesInstanceUID: seriesUid, StudyInstanceUID: '2.25.6', FrameOfReferenceUID: '2.25.7' }
    const scout = otherSeries(
      { ...shared, ImageType: [...imageType], ImageOrientationPatient: [0, 1, 0, 0, 0, -1] },
      [40, 32],
      1,
    )
    const { volume, report } = await load([...named(scout, 'A'), ...chiralFiles({ overrides: shared })])
    expectSameAsPhantom(volume)
    expect(codes(report)).toEqual([code])
    expect(report[0]?.level).toBe('note')
    expect(report[0]?.files).toEqual(['AIM0001.dcm'])
  })
})

describe('repeats', () => {
  it('the same file twice is dropped with a note', async () => {
    const copy = { name: 'copy of IM0006.dcm', bytes: (base[5] as NamedBytes).bytes }
    const { volume, report } = await load([...base, copy])
    expectSameAsPhantom(volume)
    expect(codes(report)).toEqual(['duplicate-dropped'])
    expect(report[0]?.files).toEqual(['copy of IM0006.dcm'])
  })

  it('same UID but another pixel: refused, both named', async () => {
    const changed = Uint8Array.from((base[5] as NamedBytes).bytes)
    changed[changed.length - 1] = 1
    const error = await refusal([...base, { name: 'other.dcm', bytes: changed }])
    expect(codes(error.report)).toEqual(['same-uid-other-pixels'])
    expect(error.message).toContain('IM0006.dcm')
    expect(error.message).toContain('other.dcm')
  })

  it('two images with different UIDs at one place: refused, both named', async () => {
    const twin = chiralFiles({
      overrides: { SeriesInstanceUID: seriesUid, SOPInstanceUID: '2.25.55' },
      slices: [5],
    })
    const error = await refusal([...base, ...named(twin, 'twin')])
    expect(codes(error.report)).toEqual(['same-position'])
    expect(error.message).toContain('IM0006.dcm and twinIM0001.dcm')
  })
})

describe('several series', () => {
  const second = named(otherSeries({ SeriesInstanceUID: '2.25.2002' }, [20, 20], 6), 'second/')

  it('are never forced into one: the person chooses', async () => {
    const error = await refusal([...base, ...second])
    expect(error.code).toBe('series-ambiguous')
    expect(error.message).toContain(seriesUid)
    expect(error.message).toContain('2.25.2002')
    const { volume, report } = await load([...base, ...second], { seriesUid })
    expectSameAsPhantom(volume)
    expect(codes(report)).toEqual(['other-series'])
  })

  const irregular = chiralFiles({
    overrides: { SeriesInstanceUID: seriesUid, ImagePositionPatient: [0, 0, 3.43] },
    slices: [11],
  })

  it('a small sound series beside a larger refused one: loads with a warning', async () => {
    const { volume, report } = await load([...base.filter((_, k) => k !== 11), ...irregular, ...second])
    expect(volume.shape).toEqual([20, 20, 6])
    const warning = report.find((r) => r.code === 'larger-series-refused')
    expect(warning?.level).toBe('warn')
    expect(warning?.message).toContain('unevenly spaced')
  })

  it('an unknown choice is refused with what there is', async () => {
    const error = await refusal(base, { seriesUid: '2.25.404' })
    expect(error.code).toBe('series-not-found')
    expect(error.message).toContain(seriesUid)
  })

  it('one slice of another patient is not merged and is warned about', async () => {
    const stranger = { PatientID: 'SOMEONE-ELSE' }
    const { series, report } = await inspectScan(inputsOf(chiralFiles({ overrides: inSlice(23, stranger) })))
    expect(series.map((s) => [s.shape[2], s.usable])).toEqual([
      [23, true],
      [1, false],
    ])
    expect(report.find((r) => r.code === 'several-patients')?.level).toBe('warn')
    expect(JSON.stringify({ series, report })).not.toContain('SOMEONE-ELSE')
  })

  it.each(['FrameOfReferenceUID', 'StudyInstanceUID'] as const)(
    'never merges across %s',
    async (attribute) => {
      const { series } = await inspectScan(
        inputsOf(chiralFiles({ overrides: inSlice(3, { [attribute]: '2.25.9' }) })),
      )
      expect(series.map((s) => s.shape[2])).toEqual([24, 1])
      expect(codes(series[0]?.report ?? [])).toContain('slices-missing')
    },
  )

  it('one scan under two alternating series UIDs: loads only by choice, with a warning', async () => {
    const halves = chiralFiles({ overrides: (k) => ({ SeriesInstanceUID: `2.25.${10 + (k % 2)}` }) })
    expect((await refusal(halves)).code).toBe('series-ambiguous')
    const { volume, report } = await load(halves, { seriesUid: '2.25.10' })
    expect(volume.spacingMm[2]).toBeCloseTo(0.6, 9)
    expect(report.find((r) => r.code === 'interleaved-series')?.level).toBe('warn')
  })

  it('two whole stacks in one series: one finding, not one for every slice', async () => {
    const again = chiralFiles({
      overrides: (k) => ({ SeriesInstanceUID: seriesUid, SOPInstanceUID: `2.25.${900 + k}` }),
    })
    const error = await refusal([...base, ...named(again, 'again/')])
    expect(codes(error.report)).toEqual(['same-position'])
    expect(error.report[0]?.files).toHaveLength(48)
  })

  it('a slice of other size inside the stack is refused, not left out', async () => {
    const odd = named(
      writeSeries(
        createVolume({ data: new Int16Array(400), shape: [20, 20, 1], indexToWorld: phantom.indexToWorld }),
        {
          storage: chiralStorage,
          seed: phantom.identity.fingerprint,
          overrides: {
            SeriesInstanceUID: seriesUid,
            SOPInstanceUID: '2.25.3',
            ImagePositionPatient: [0, 0, 6.9],
          },
        },
      ),
      'odd-',
    )
    const error = await refusal([...base.slice(0, 23), ...odd])
    expect(codes(error.report)).toContain('slice-differs')
    expect(error.message).toContain('odd-IM0001.dcm')
  })
})

describe('a disc as a practice hands it over', () => {
  const disc = zipSeries([
    ...chiralFiles({ fileName: (k) => `IMAGES/IM${k}` }),
    { name: 'autorun.inf', bytes: bytes('[autorun]\n') },
    { name: 'manual.pdf', bytes: bytes('%PDF-1.4 nothing') },
    { name: 'IMAGES/.DS_Store', bytes: bytes('\0\0\0\x01Bud1') },
  ])

  it('files without extension among others, in a zip known by its content', async () => {
    const { volume, report } = await loadScan([inputFromBytes('disc', disc)])
    expectSameAsPhantom(volume)
    expect(report).toHaveLength(1)
    expect(report[0]?.message).toBe('3 other files ignored.')
  })

  it('a File object of a zip', async () => {
    const file = new File([disc as Uint8Array<ArrayBuffer>], 'scan.zip')
    const { volume } = await loadScan(inputsFromFiles([file]))
    expectSameAsPhantom(volume)
  })

  it('a zip cut short says so', async () => {
    const error = await refusal([{ name: 'disc.zip', bytes: disc.subarray(0, disc.length - 200) }])
    expect(error.code).toBe('no-series')
    expect(error.message).toContain('disc.zip')
    expect(error.message).toMatch(/zip|cut/)
  })

  it('a zip with one flipped byte names the entry and refuses the series', async () => {
    const broken = Uint8Array.from(zipSeries(base, { level: 0 }))
    const at = Math.floor(broken.length / 2)
    broken[at] = (broken[at] as number) ^ 0xff
    const error = await refusal([{ name: 'disc.zip', bytes: broken }])
    expect(error.code).toBe('blocked')
    expect(error.report.some((r) => r.code === 'zip-damaged' && r.files?.[0]?.startsWith('disc.zip/'))).toBe(
      true,
    )
  })

  it('names with umlauts, CJK, emoji, blanks and 200 letters', async () => {
    const folder = 'Müller – 山田 🦷 a b'
    const long = (k: number) => `${folder}/${'x'.repeat(200)} ${k}`
    const { volume } = await loadScan([inputFromBytes('d', zipSeries(chiralFiles({ fileName: long })))])
    expectSameAsPhantom(volume)
  })
})
