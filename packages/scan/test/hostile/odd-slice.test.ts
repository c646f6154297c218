import { createVolume, sampleAt } from '@alveometer/core'
import { chiralStorage, type NamedBytes, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithData } from '../../../../tests/shared-data.js'
import { loadScan, type ScanInput } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import { chiralFiles, codes, expectMarks, inSlice, load, phantom, refusal } from '../chiral.js'

const cos = Math.cos(Math.PI / 36)
const sin = Math.sin(Math.PI / 36)
/** UIDs that the series and an odd slice written by itself have in common. */
const shared = { SeriesInstanceUID: '2.25.1', StudyInstanceUID: '2.25.2', FrameOfReferenceUID: '2.25.3' }

describe('one slice that is not like the others', () => {
  it.each([
    ['another Pixel Spacing', { PixelSpacing: [0.25, 0.25] }],
    ['a Pixel Spacing of which one half differs', { PixelSpacing: [0.3, 0.31] }],
    ['rows turned by 5 degrees', { ImageOrientationPatient: [cos, sin, 0, -sin, cos, 0] }],
    ['a plane leaning by 5 degrees', { ImageOrientationPatient: [1, 0, 0, 0, cos, sin] }],
  ] as const)('%s: refused, its file named', async (_, overrides) => {
    for (const k of [0, 9, 23]) {
      const error = await refusal(chiralFiles({ overrides: inSlice(k, overrides) }))
      expect(codes(error.report.filter((r) => r.level === 'block'))).toEqual(['slice-differs'])
      expect(error.message).toContain(`IM00${String(k + 1).padStart(2, '0')}.dcm`)
    }
  })

  it('half the rows: refused, its file named', async () => {
    const half = createVolume({
      data: phantom.data.slice(0, 32 * 16 * 24),
      shape: [32, 16, 24],
      indexToWorld: phantom.indexToWorld,
    })
    const [odd] = writeSeries(half, {
      storage: chiralStorage,
      slices: [9],
      overrides: { ...shared, SOPInstanceUID: '2.25.9' },
    }) as [NamedBytes]
    const files = chiralFiles({ overrides: shared }).filter((_, k) => k !== 9)
    const error = await refusal([...files, { ...odd, name: 'half.dcm' }])
    expect(codes(error.report.filter((r) => r.level === 'block'))).toEqual(['slice-differs'])
    expect(error.message).toContain('half.dcm (32 x 16)')
  })

  it('Rows doubled in the header alone: refused, its file named', async () => {
    const error = await refusal(chiralFiles({ overrides: inSlice(9, { Rows: 64 }) }))
    expect(codes(error.report.filter((r) => r.level === 'block'))).toContain('slice-differs')
    expect(error.message).toContain('IM0010.dcm')
  })

  it.each([0, 23])('no position in slice %d, at an end: refused, its file named', async (k) => {
    const error = await refusal(chiralFiles({ overrides: inSlice(k, { ImagePositionPatient: undefined }) }))
    expect(codes(error.report)).toContain('position-missing')
    expect(error.message).toContain(k === 0 ? 'IM0001.dcm' : 'IM0024.dcm')
  })

  it('9 % of a step off its place: accepted, named with the size', async () => {
    const { volume, report } = await load(
      chiralFiles({ overrides: inSlice(10, { ImagePositionPatient: [0, 0, 3.027] }) }),
    )
    expect(report.map((r) => [r.level, r.code])).toEqual([['warn', 'uneven-steps']])
    expect(report[0]?.facts?.largestOffsetMm).toBeCloseTo(0.027, 6)
    expect(volume.remarks[0]?.facts?.largestOffsetMm).toBeCloseTo(0.027, 6)
    expectMarks(volume)
  })

  it('a direction rounded to four decimals is the same direction', async () => {
    const { volume, report } = await load(
      chiralFiles({ overrides: inSlice(4, { ImageOrientationPatient: [1, 0.0001, 0, -0.0001, 1, 0] }) }),
    )
    expect(report).toEqual([])
    expectMarks(volume)
  })
})

describeWithData('a real slice moved by 0.09 mm of a step of 1 mm', 'phantom-skull-tilt0-bone', (folder) => {
  it('is accepted and named', async () => {
    const inputs = await inputsFromPath(folder)
    const moved = inputs.map((i) => (i.name === 'I750' ? withText(i, '\\768.21', '\\768.30') : i))
    const { volume, report } = await loadScan(moved)
    const warning = report.find((r) => r.level === 'warn')
    expect(warning?.code).toBe('uneven-steps')
    expect(warning?.message).toContain('I750 is 0.09 mm from where the step of 1 mm puts it')
    expect(volume.spacingMm[2]).toBeCloseTo(1, 6)
    // A voxel of the slices around it, by pydicom.
    expect(sampleAt(volume, [-115.5 + 131 * 0.451172, -1.85 + 124 * 0.451172, 777.21])).toBeCloseTo(908, 0)
  })
})

/** The first 16 kB with a text replaced by another of the same length. */
function withText(input: ScanInput, from: string, to: string): ScanInput {
  return {
    ...input,
    read: async (start = 0, end = input.size, signal) => {
      const bytes = Uint8Array.from(await input.read(start, end, signal))
      const at = Buffer.from(bytes.subarray(0, 16384)).indexOf(from)
      if (start === 0 && at >= 0) bytes.set(Buffer.from(to), at)
      return bytes
    },
  }
}
