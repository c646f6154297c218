import {
  column,
  createVolume,
  cross,
  dot,
  fromFrame,
  toWorld,
  type Vec3,
  type Volume,
} from '@alveometer/core'
import { chiralStorage, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { chiralFiles, codes, expectMarks, load, phantom, refusal } from './chiral.js'

/**
 * The phantom stored another way: index axis a of the result runs along patient axis `order[a]`, backwards where
 * `signs[a]` is -1. The voxels move, the patient does not.
 */
function relaid(order: readonly [0 | 1 | 2, 0 | 1 | 2, 0 | 1 | 2], signs: Vec3): Volume {
  const shape = order.map((axis) => phantom.shape[axis]) as [number, number, number]
  const data = new Int16Array(phantom.data.length)
  const source: [number, number, number] = [0, 0, 0]
  const place = (index: Vec3) => {
    order.forEach((axis, a) => {
      const i = index[a] as number
      source[axis] = signs[a] === 1 ? i : phantom.shape[axis] - 1 - i
    })
    return source
  }
  for (let k = 0, at = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++, at++) {
        const [x, y, z] = place([i, j, k])
        data[at] = phantom.data[x + phantom.shape[0] * (y + phantom.shape[1] * z)] as number
      }
  const along = (a: 0 | 1 | 2) => {
    const direction: [number, number, number] = [0, 0, 0]
    direction[order[a]] = 0.3 * signs[a]
    return direction
  }
  const origin = toWorld(phantom.indexToWorld, [...place([0, 0, 0])])
  return createVolume({ data, shape, indexToWorld: fromFrame(along(0), along(1), along(2), origin) })
}

const rightHanded = ({ indexToWorld: m }: Volume) => dot(cross(column(m, 0), column(m, 1)), column(m, 2)) > 0

describe('orientation', () => {
  it.each([
    ['-1\\0\\0\\0\\-1\\0', [0, 1, 2], [-1, -1, 1]],
    ['coronal, 1\\0\\0\\0\\0\\-1', [0, 2, 1], [1, -1, 1]],
    ['sagittal, 0\\1\\0\\0\\0\\-1', [1, 2, 0], [1, -1, -1]],
    ['columns to the right', [0, 1, 2], [-1, 1, 1]],
  ] as const)('%s: the marks stay at their world points', async (_, order, signs) => {
    const stored = relaid([...order], signs)
    const { volume, report } = await load(writeSeries(stored, { storage: chiralStorage }))
    expectMarks(volume)
    expect(report).toEqual([])
    expect(rightHanded(volume)).toBe(true)
  })

  it('oblique slices keep their direction', async () => {
    // A turn by 30 degrees about z: rows run along (cos, sin, 0).
    const c = Math.sqrt(3) / 2
    const turned = createVolume({
      data: phantom.data,
      shape: phantom.shape,
      indexToWorld: fromFrame([0.3 * c, 0.15, 0], [-0.15, 0.3 * c, 0], [0, 0, 0.3], [5, -7, 11]),
    })
    const { volume } = await load(writeSeries(turned, { storage: chiralStorage }))
    const at = toWorld(volume.indexToWorld, [10, 20, 5])
    expect(at[0]).toBeCloseTo(5 + 3 * c - 3, 6)
    expect(at[1]).toBeCloseTo(-7 + 1.5 + 6 * c, 6)
    expect(at[2]).toBeCloseTo(12.5, 6)
  })

  it('directions that are not perpendicular are refused', async () => {
    const error = await refusal(
      chiralFiles({ overrides: { ImageOrientationPatient: [1, 0, 0, 0.5, 0.866, 0] } }),
    )
    expect(codes(error.report)).toEqual(['bad-orientation'])
  })
})

describe('geometry that is not there', () => {
  it.each([
    ['ImagePositionPatient', 'position-missing'],
    ['ImageOrientationPatient', 'orientation-missing'],
    ['PixelSpacing', 'spacing-missing'],
  ] as const)('%s missing in one slice: refused, file named', async (attribute, code) => {
    const error = await refusal(
      chiralFiles({ overrides: (k) => (k === 7 ? { [attribute]: undefined } : {}) }),
    )
    expect(codes(error.report)).toContain(code)
    expect(error.message).toContain('IM0008.dcm')
  })

  it('Pixel Spacing missing everywhere: refused, never taken as 1 mm', async () => {
    const error = await refusal(chiralFiles({ overrides: { PixelSpacing: undefined } }))
    expect(codes(error.report)).toEqual(['spacing-missing'])
    expect(error.message).toContain('as all 24 slices')
  })

  it('decimal comma: refused, value named', async () => {
    const comma = { vr: 'DS', value: '0,451171875\\0,451171875' }
    const error = await refusal(chiralFiles({ overrides: { PixelSpacing: comma } }))
    expect(codes(error.report)).toContain('decimal-comma')
    expect(error.report.find((r) => r.code === 'decimal-comma')?.message).toContain('0,451171875')
  })

  it('a spacing that cannot be millimetres is refused', async () => {
    const error = await refusal(chiralFiles({ overrides: { PixelSpacing: ['451171875', '451171875'] } }))
    expect(codes(error.report)).toEqual(['bad-spacing'])
  })

  it('one slice alone is not a volume', async () => {
    const error = await refusal(chiralFiles({ slices: [3] }))
    expect(codes(error.report)).toEqual(['not-a-volume'])
  })
})
