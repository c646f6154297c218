import { createVolume, type Vec3 } from '@alveometer/core'
import { describe, expect, it } from 'vitest'
import type { ScanInput } from '../src/index.js'
import { decodeVolumeFile, placeVolumeFile, readVolumeHeader } from '../src/volume-files/index.js'
import { bytesOf, expectMarks, input, layPhantom, reader } from './volume-files.js'

// Left, posterior and superior are counted along the third, first and second axis: no two may be mistaken.
const laid = layPhantom('-y', '+z', '-x')
const [row, column, slice] = laid.directions

const withoutSides = (spacings: string) =>
  input(
    'scan.nrrd',
    `NRRD0004\ntype: short\ndimension: 3\nsizes: ${laid.shape.join(' ')}\n${spacings}encoding: raw\nendian: little\n\n`,
    bytesOf(laid.data),
  )

/** The volume of what a person confirmed, moved so that its first voxel lies where the phantom's does. */
async function placed(main: ScanInput, answers: Parameters<typeof placeVolumeFile>[1]) {
  const header = await readVolumeHeader(main, [])
  const place = placeVolumeFile(header, answers)
  if (!place) return null
  const { data } = await decodeVolumeFile(header, reader)
  const indexToWorld = place.indexToWorld.map((m, i) => (i >= 12 && i < 15 ? m + laid.origin[i - 12] : m))
  return { volume: createVolume({ data, shape: header.shape, indexToWorld }), place }
}

describe('placeVolumeFile', () => {
  it('the sides confirmed, the lengths of the file', async () => {
    const found = await placed(withoutSides('spacings: 0.3 0.3 0.3\n'), {
      orientation: { row, column, slice },
    })
    if (found) expectMarks(found.volume)
    expect(found?.place.spacingMm).toEqual([0.3, 0.3, 0.3])
  })

  it('all confirmed; Pixel Spacing names the distance of the rows first', async () => {
    const answers = {
      pixelSpacingMm: [0.25, 0.3] as const,
      sliceStepMm: 0.4,
      orientation: { row, column, slice },
    }
    const found = await placed(withoutSides(''), answers)
    expect(found?.place.spacingMm).toEqual([0.3, 0.25, 0.4])
    expect(found?.volume.spacingMm.map((s) => s.toFixed(9))).toEqual([
      '0.300000000',
      '0.250000000',
      '0.400000000',
    ])
  })

  it('a question that stays open', async () => {
    expect(await placed(withoutSides(''), { orientation: { row, column, slice } })).toBeNull()
    expect(await placed(withoutSides(''), { pixelSpacingMm: [0.3, 0.3], sliceStepMm: 0.3 })).toBeNull()
    expect(await placed(withoutSides('spacings: 0.3 0.3 0.3\n'), undefined)).toBeNull()
  })

  it('what the file says is not replaced', async () => {
    const vectors = laid.directions.map((d: Vec3) => `(${d.map((c) => 0.3 * c).join(',')})`).join(' ')
    const main = withoutSides(`space: LPS\nspace directions: ${vectors}\n`)
    const wrong = {
      pixelSpacingMm: [9, 9] as const,
      sliceStepMm: 9,
      orientation: { row: slice, column: row, slice: column },
    }
    const found = await placed(main, wrong)
    if (found) expectMarks(found.volume)
    expect(found).not.toBeNull()
  })
})
