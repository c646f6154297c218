import { sampleAt, toWorld } from '@alveometer/core'
import { chiralMarks } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { type GeometryAnswers, inputFromBytes, inspectScan, loadScan, previewScan } from '../src/index.js'
import { nodeVolumeFileReader } from '../src/node.js'
import {
  chiralFiles,
  codes,
  expectMarks,
  expectSameAsPhantom,
  inputsOf,
  load,
  phantom,
  refusal,
} from './chiral.js'

const axial = { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] } as const
const questionsOf = async (files: ReturnType<typeof chiralFiles>) =>
  (await inspectScan(inputsOf(files))).series[0]?.questions

describe('pixel spacing that is nowhere in the file', () => {
  const files = chiralFiles({ overrides: { PixelSpacing: undefined, ImagerPixelSpacing: [0.4, 0.4] } })

  it('is refused, asked for, and the spacing at the detector is not offered', async () => {
    const error = await refusal(files)
    expect(codes(error.report)).toEqual(['spacing-missing'])
    expect(await questionsOf(files)).toEqual([{ ask: 'pixel-spacing' }])
    const { series } = await inspectScan(inputsOf(files))
    expect(series[0]?.spacingMm).toBeNull()
    expect(series[0]?.indexToWorld).toBeNull()
  })

  it('confirmed by a known length: the phantom, with a warning that stays with the volume', async () => {
    const answers: GeometryAnswers = { pixelSpacingMm: [0.3, 0.3], how: { 'pixel-spacing': 'known-length' } }
    const { volume, report } = await load(files, { answers })
    expectSameAsPhantom(volume)
    expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'geometry-confirmed']])
    expect(volume.confirmed).toEqual({ pixelSpacingMm: [0.3, 0.3], how: { 'pixel-spacing': 'known-length' } })
    expect(volume.remarks.map((r) => r.code)).toEqual(['geometry-confirmed'])
  })

  it.each([[[0, 0.3]], [[0.3, 99]], [[Number.NaN, 0.3]], [[-0.3, -0.3]]] as const)(
    'a spacing of %j cannot be right',
    async (pixelSpacingMm) => {
      const error = await refusal(files, { answers: { pixelSpacingMm } })
      expect(codes(error.report)).toContain('answers-contradict')
    },
  )
})

it('answers never replace what the file says', async () => {
  const answers: GeometryAnswers = {
    pixelSpacingMm: [1, 1],
    sliceStepMm: 7,
    orientation: { row: [0, 1, 0], column: [0, 0, 1], slice: [1, 0, 0] },
  }
  const { volume, report } = await load(chiralFiles(), { answers })
  expectSameAsPhantom(volume)
  expect(volume.confirmed).toBeUndefined()
  expect(report).toEqual([])
})

describe('orientation that is nowhere in the file', () => {
  const files = chiralFiles({ overrides: { ImageOrientationPatient: undefined } })

  it('is asked for, and with the true sides the marks are where they belong', async () => {
    const error = await refusal(files)
    expect(codes(error.report)).toEqual(['orientation-missing'])
    expect(error.message).toMatch(/Export .* Or confirm it yourself\./)
    expect(await questionsOf(files)).toEqual([{ ask: 'orientation' }])
    const { volume } = await load(files, { answers: { orientation: axial } })
    expectSameAsPhantom(volume)
  })

  it('sides that contradict the positions of the slices are refused', async () => {
    const orientation = { row: [1, 0, 0], column: [0, 0, 1], slice: [0, 1, 0] } as const
    const error = await refusal(files, { answers: { orientation } })
    expect(codes(error.report)).toContain('answers-contradict')
    expect(error.message).toContain('Choose them again')
  })

  it('where the file gives row and column but no positions, only the counting is taken; other sides are refused', async () => {
    const placeless = chiralFiles({ overrides: { ImagePositionPatient: undefined } })
    const preview = await previewScan(inputsOf(placeless))
    expect(preview.sides).toEqual({ row: [1, 0, 0], column: [0, 1, 0], slice: null })
    const turned = { row: [0, 1, 0], column: [-1, 0, 0], slice: [0, 0, 1] } as const
    const error = await refusal(placeless, { answers: { sliceStepMm: 0.3, orientation: turned } })
    expect(codes(error.report)).toContain('answers-contradict')
    expect(error.message).toContain('contradict the orientation in the file')
  })

  it('missing in one slice only cannot be answered: the slice is named', async () => {
    const one = chiralFiles({ overrides: (k) => (k === 7 ? { ImageOrientationPatient: undefined } : {}) })
    expect(await questionsOf(one)).toEqual([])
    const error = await refusal(one, { answers: { orientation: axial } })
    expect(error.message).toContain('IM0008.dcm')
  })
})

describe('positions that are nowhere in the files', () => {
  const files = chiralFiles({ overrides: { ImagePositionPatient: undefined, SliceThickness: 0.3 } })

  it('the order is that of Instance Numbers; step and direction are asked for, thickness only offered', async () => {
    expect(await questionsOf(files)).toEqual([
      { ask: 'slice-step', suggestion: { mm: 0.3, from: 'Slice Thickness' } },
      { ask: 'orientation' },
    ])
    expect(codes((await refusal(files)).report)).toEqual(['position-missing'])
  })

  it('confirmed: the same anatomy, round the origin of space', async () => {
    const { volume } = await load(files, { answers: { sliceStepMm: 0.3, orientation: axial } })
    const middle = toWorld(volume.indexToWorld, [15.5, 15.5, 11.5])
    for (const c of middle) expect(c).toBeCloseTo(0, 9)
    const centre = toWorld(phantom.indexToWorld, [15.5, 15.5, 11.5])
    for (const mark of chiralMarks) {
      const [x, y, z] = mark.world.map((c, axis) => c - (centre[axis] as number)) as [number, number, number]
      expect(sampleAt(volume, [x, y, z])).toBeCloseTo(mark.grey, 6)
    }
  })

  it('slices counted from head to feet: the mark above stays above', async () => {
    const reversed = chiralFiles({
      overrides: (k) => ({ ImagePositionPatient: undefined, InstanceNumber: 24 - k }),
    })
    const { volume } = await load(reversed, {
      answers: { sliceStepMm: 0.3, orientation: { ...axial, slice: [0, 0, -1] } },
    })
    const centre = toWorld(phantom.indexToWorld, [15.5, 15.5, 11.5])
    for (const mark of chiralMarks) {
      const [x, y, z] = mark.world.map((c, axis) => c - (centre[axis] as number)) as [number, number, number]
      expect(sampleAt(volume, [x, y, z])).toBeCloseTo(mark.grey, 6)
    }
  })

  it('without numbers there is no order to confirm: nothing is asked', async () => {
    const unnumbered = chiralFiles({ overrides: { ImagePositionPatient: undefined, InstanceNumber: 1 } })
    expect(await questionsOf(unnumbered)).toEqual([])
  })
})

describe('the preview to confirm by', () => {
  it('holds the voxels in their order and no millimetre', async () => {
    const files = chiralFiles({
      overrides: {
        PixelSpacing: undefined,
        ImageOrientationPatient: undefined,
        ImagePositionPatient: undefined,
      },
    })
    const preview = await previewScan(inputsOf(files))
    expect(preview.shape).toEqual([32, 32, 24])
    expect(preview.aspect).toEqual([1, 1, 1])
    expect(Array.from(preview.data)).toEqual(Array.from(phantom.data))
    expect(preview.questions.map((q) => q.ask)).toEqual(['pixel-spacing', 'slice-step', 'orientation'])
    expect(Object.keys(preview).some((key) => /mm|world/i.test(key))).toBe(false)
  })

  it('slices in the order of their positions where the files give them', async () => {
    const files = chiralFiles({
      overrides: { ImageOrientationPatient: undefined },
      slices: [5, 3, 1, 0, 2, 4],
    })
    const preview = await previewScan(inputsOf(files))
    const forward = Array.from(phantom.data.slice(0, preview.data.length))
    const slice = 32 * 32
    const backward = [5, 4, 3, 2, 1, 0].flatMap((k) => forward.slice(k * slice, (k + 1) * slice))
    expect([forward, backward]).toContainEqual(Array.from(preview.data))
  })

  it('of a sound scan there is none', async () => {
    await expect(previewScan(inputsOf(chiralFiles()))).rejects.toMatchObject({ name: 'ScanError' })
  })
})

it('a plan can carry the answers as JSON and load the same volume again', async () => {
  const files = chiralFiles({ overrides: { PixelSpacing: undefined } })
  const { volume } = await load(files, { answers: { pixelSpacingMm: [0.3, 0.3] } })
  const again = await loadScan(inputsOf(files), { answers: JSON.parse(JSON.stringify(volume.confirmed)) })
  expectMarks(again.volume)
  expect(again.volume.identity).toEqual(volume.identity)
})

it('a volume file without sides: of the answers only those to what was asked are kept', async () => {
  // NRRD without a space (its own definition: then nothing says which side an axis runs to).
  const header =
    'NRRD0004\ntype: short\ndimension: 3\nsizes: 4 4 4\nspacings: 0.3 0.3 0.3\nendian: little\nencoding: raw\n\n'
  const bytes = new Uint8Array(header.length + 128)
  bytes.set(new TextEncoder().encode(header))
  const input = inputFromBytes('bare.nrrd', bytes)
  const { series } = await inspectScan([input])
  expect(series[0]?.questions).toEqual([{ ask: 'orientation' }])
  const how = { orientation: 'chosen', 'slice-step': 'typed' } as const
  const answers = { sliceStepMm: 7, orientation: axial, how }
  const { volume } = await loadScan([input], { answers, volumeFileReader: nodeVolumeFileReader() })
  expect(volume.spacingMm).toEqual([0.3, 0.3, 0.3])
  expect(volume.confirmed).toEqual({ orientation: axial, how: { orientation: 'chosen' } })
  const slanted = { ...axial, row: [1, 1, 0] } as const
  const { series: refused } = await inspectScan([input], { answers: { orientation: slanted } })
  expect(codes(refused[0]?.report ?? [])).toContain('answers-contradict')
})
