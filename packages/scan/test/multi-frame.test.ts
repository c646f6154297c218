import { sampleAt, toWorld } from '@alveometer/core'
import { chiralMarks, chiralStorage, type MultiFrameOptions, writeMultiFrame } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { inspectScan, loadScan } from '../src/index.js'
import { codes, expectMarks, expectSameAsPhantom, inputsOf, load, phantom, refusal } from './chiral.js'

const write = (options: MultiFrameOptions) => [
  writeMultiFrame(phantom, { storage: chiralStorage, ...options }),
]
const objects = [
  'EnhancedCT',
  'LegacyConvertedEnhancedCT',
  'XRay3DCraniofacial',
  'XRay3DAngiographic',
  'MultiFrameGrayscaleWordSC',
] as const
const backwards = Array.from({ length: 24 }, (_, n) => 23 - n)
const shuffled = Array.from({ length: 24 }, (_, n) => (n * 7) % 24)

describe.each(objects)('%s', (object) => {
  it('24 frames in one file are the volume that 24 files are', async () => {
    const { volume, report, series } = await load(write({ object }))
    expectSameAsPhantom(volume)
    expect(report.filter((r) => r.level !== 'note' && r.code !== 'modality-not-ct')).toEqual([])
    expect(series.shape).toEqual([32, 32, 24])
  })

  it.each([
    ['from top to bottom', backwards],
    ['in random order', shuffled],
  ])('frames stored %s are placed by their own positions', async (_, frameOrder) => {
    const { volume, report } = await load(write({ object, frameOrder }))
    expectSameAsPhantom(volume)
    if (frameOrder === shuffled) expect(codes(report)).toContain('order-by-position')
  })

  it.each(['implicitLittle', 'explicitBig', 'deflated', 'rle'] as const)('in %s', async (syntax) => {
    const { volume } = await load(write({ object, syntax, frameOrder: shuffled, lengths: 'undefined' }))
    expectSameAsPhantom(volume)
  })
})

describe('where the geometry of a multi-frame object stands', () => {
  const object = 'EnhancedCT'

  it.each(['shared', 'per-frame', 'top-level'] as const)(
    'orientation and spacing %s: read',
    async (place) => {
      const { volume } = await load(
        write({ object, places: { planeOrientation: place, pixelMeasures: place } }),
      )
      expectSameAsPhantom(volume)
    },
  )

  it('orientation nowhere: asked for, no side until confirmed', async () => {
    const files = write({ object, places: { planeOrientation: 'absent' } })
    expect(codes((await refusal(files)).report)).toContain('orientation-missing')
    const { series } = await inspectScan(inputsOf(files))
    expect(series[0]?.questions).toEqual([{ ask: 'orientation' }])
    expect(series[0]?.indexToWorld).toBeNull()
    const orientation = { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] } as const
    const { volume, report } = await load(files, { answers: { orientation } })
    expectSameAsPhantom(volume)
    expect(codes(report)).toContain('geometry-confirmed')
  })

  it('spacing nowhere: asked for', async () => {
    const files = write({ object, places: { pixelMeasures: 'absent' } })
    expect(codes((await refusal(files)).report)).toContain('spacing-missing')
    expectMarks((await load(files, { answers: { pixelSpacingMm: [0.3, 0.3] } })).volume)
  })

  it('a macro given for all frames and for one, differently: neither is believed', async () => {
    const error = await refusal(
      write({
        object,
        places: { pixelMeasures: 'shared' },
        frameOverrides: (k) =>
          k === 3 ? { pixelMeasures: { PixelSpacing: [0.5, 0.5], SliceThickness: 1 } } : {},
      }),
    )
    expect(codes(error.report)).toContain('bad-number')
    expect(error.message).toContain('EnhancedCT.dcm')
  })

  it('a frame out of place is named with its number', async () => {
    const error = await refusal(
      write({
        object,
        frameOverrides: (k) => (k === 6 ? { planePosition: { ImagePositionPatient: [0, 0, 1.88] } } : {}),
      }),
    )
    expect(codes(error.report)).toEqual(['steps-irregular'])
    expect(error.message).toContain('EnhancedCT.dcm, frame 7')
  })

  it('a frame left out: no data in its place', async () => {
    const { volume, report } = await load(write({ object, frameOrder: shuffled.filter((k) => k !== 11) }))
    expect(codes(report.filter((r) => r.level === 'warn'))).toEqual(['slices-missing'])
    expect(sampleAt(volume, [4.8, 4.8, 3.3])).toBeNull()
    expect(toWorld(volume.indexToWorld, [0, 0, 23])[2]).toBeCloseTo(6.9, 9)
  })
})

describe('grey values of a multi-frame object', () => {
  it.each(['shared', 'per-frame', 'top-level'] as const)('rescale %s is applied', async (rescale) => {
    for (const object of ['EnhancedCT', 'XRay3DCraniofacial'] as const) {
      const { volume } = await load(write({ object, places: { rescale } }))
      expectSameAsPhantom(volume)
    }
  })

  it('another intercept in one frame: that frame alone is moved', async () => {
    const { volume, report } = await load(
      write({
        object: 'EnhancedCT',
        places: { rescale: 'per-frame' },
        frameOverrides: (k) =>
          k === 6 ? { rescale: { RescaleIntercept: -990, RescaleSlope: 1, RescaleType: 'HU' } } : {},
      }),
    )
    expect(codes(report)).toContain('rescale-varies')
    const slice = 32 * 32
    for (let n = 0; n < volume.data.length; n++)
      expect(volume.data[n]).toBe((phantom.data[n] as number) + (Math.floor(n / slice) === 6 ? 10 : 0))
  })

  it('none at all: values as stored, and the unit is not HU', async () => {
    const { volume, report } = await load(
      write({ object: 'XRay3DCraniofacial', places: { rescale: 'absent' } }),
    )
    expect(codes(report)).toContain('rescale-missing')
    expect(volume.grey.unit).toBe('grey value')
    expect(volume.data[0]).toBe((phantom.data[0] as number) + 1000)
  })

  it('HU only where the file says so', async () => {
    expect((await load(write({ object: 'EnhancedCT' }))).volume.grey.unit).toMatch(/^HU as written/)
    expect((await load(write({ object: 'XRay3DCraniofacial' }))).volume.grey.unit).toBe('grey value')
  })
})

describe('a plain CT image that claims many frames and places none of them', () => {
  const object = 'CTWithFrames'

  it.each([
    ['Spacing Between Slices', { SpacingBetweenSlices: 0.3, SliceThickness: 1 }, 0.3],
    ['Slice Thickness', { SpacingBetweenSlices: undefined, SliceThickness: 0.3 }, 0.3],
  ] as const)('%s is offered, never taken', async (from, overrides, mm) => {
    const files = write({ object, overrides })
    const error = await refusal(files)
    expect(codes(error.report)).toContain('slice-step-missing')
    const { series } = await inspectScan(inputsOf(files))
    expect(series[0]?.spacingMm).toBeNull()
    expect(series[0]?.questions).toEqual([
      { ask: 'slice-step', suggestion: { mm, from } },
      { ask: 'orientation' },
    ])
  })

  it('neither given: nothing is offered, and no step of 1 mm is made up', async () => {
    const overrides = { SpacingBetweenSlices: undefined, SliceThickness: undefined }
    const { series } = await inspectScan(inputsOf(write({ object, overrides })))
    expect(series[0]?.questions).toEqual([{ ask: 'slice-step' }, { ask: 'orientation' }])
  })

  it('confirmed: from the first position on, towards the side that was chosen', async () => {
    const axial = { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] } as const
    const answers = { sliceStepMm: 0.3, orientation: axial }
    const { volume, report } = await load(write({ object }), { answers })
    expectSameAsPhantom(volume)
    expect(codes(report)).toContain('geometry-confirmed')
    const down = { ...answers, orientation: { ...axial, slice: [0, 0, -1] as const } }
    const reversed = (await load(write({ object, frameOrder: backwards }), { answers: down })).volume
    // The first frame stands at the one position of the file, that of frame 23 of the phantom's order or 0.
    const shift = toWorld(reversed.indexToWorld, [0, 0, 23])[2] - toWorld(volume.indexToWorld, [0, 0, 23])[2]
    for (const { world, grey } of chiralMarks)
      expect(sampleAt(reversed, [world[0], world[1], world[2] + shift])).toBeCloseTo(grey, 6)
  })
})

describe('several files of many frames', () => {
  it('one of each half of a scan that do not name each other: two volumes, never joined', async () => {
    const [a] = write({
      object: 'EnhancedCT',
      frameOrder: Array.from({ length: 12 }, (_, n) => n),
      fileName: 'a.dcm',
    })
    const [b] = write({
      object: 'EnhancedCT',
      frameOrder: Array.from({ length: 12 }, (_, n) => n + 12),
      fileName: 'b.dcm',
    })
    const files = [a, b].flatMap((f) => (f ? [f] : []))
    const { series } = await inspectScan(inputsOf(files))
    expect(series.map((s) => s.shape)).toEqual([
      [32, 32, 12],
      [32, 32, 12],
    ])
    expect(new Set(series.map((s) => s.id)).size).toBe(2)
    const { volume } = await loadScan(inputsOf(files), { seriesUid: series[1]?.id ?? '' })
    expect(volume.shape).toEqual([32, 32, 12])
  })

  it('pieces of one concatenation are one volume', async () => {
    const overrides = { '00209161': { vr: 'UI', value: '2.25.77' } }
    const piece = (from: number, fileName: string) =>
      write({
        object: 'EnhancedCT',
        frameOrder: Array.from({ length: 12 }, (_, n) => n + from),
        fileName,
        overrides: { ...overrides, SOPInstanceUID: `2.25.7${from}` },
      })
    const { volume } = await load([...piece(12, 'b.dcm'), ...piece(0, 'a.dcm')])
    expectSameAsPhantom(volume)
  })
})

describe('frames that do not add up', () => {
  it('more frames claimed than described: refused', async () => {
    const error = await refusal(write({ object: 'EnhancedCT', overrides: { NumberOfFrames: 30 } }))
    expect(codes(error.report)).toContain('bad-number')
    expect(codes(error.report)).toContain('pixel-length')
  })

  it.each(['0', '-3', 'many', '999999999'])('Number of Frames %s: refused', async (frames) => {
    const error = await refusal(
      write({ object: 'EnhancedCT', overrides: { NumberOfFrames: { vr: 'IS', value: frames } } }),
    )
    const entry = error.report.find((r) => r.code === 'bad-number')
    expect(entry?.message).toContain(`EnhancedCT.dcm: Number of Frames is not what it should be (${frames}`)
  })

  it('cut within its pixels: named, nothing filled', async () => {
    const [file] = write({ object: 'XRay3DCraniofacial' })
    if (!file) throw new Error('no file')
    const error = await refusal([{ ...file, bytes: file.bytes.subarray(0, file.bytes.length - 5000) }])
    expect(codes(error.report)).toContain('file-truncated')
  })
})
