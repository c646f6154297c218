import { expect, test } from 'vitest'
import type { CrownSize } from '../src/crown/index.js'
import {
  checkCrownSize,
  crownFromMesh,
  fullCrownSize,
  sizeOf,
  tabulatedCrown,
  toothDimensions,
} from '../src/crown/index.js'
import { enclosedVolume } from '../src/space/index.js'

const extent = (values: readonly number[]) => Math.max(...values) - Math.min(...values)

test('a crown is as large as asked, to 0.01 mm, whichever sizes are given', () => {
  for (const [tooth, size] of [
    ['11', { lengthMm: 11.37 }],
    ['22', { widthMdMm: 5.91, widthLlMm: 6.6 }],
    ['43', { lengthMm: 9.8, widthMdMm: 8.05, widthLlMm: 8.2 }],
    ['36', { widthMdMm: 12.25 }],
  ] as const) {
    const asked: CrownSize = size
    const measured = sizeOf(tabulatedCrown(tooth, size))
    for (const field of ['lengthMm', 'widthMdMm', 'widthLlMm'] as const)
      expect(Math.abs(measured[field] - (asked[field] ?? fullCrownSize(tooth, asked)[field]))).toBeLessThan(
        0.01,
      )
  }
})

test('one size given scales the other two by its factor: 11 with 9.35 mm, 1.1 of the table', () => {
  expect(fullCrownSize('11', { widthMdMm: 9.35 }).lengthMm).toBeCloseTo(11.55, 9)
  expect(fullCrownSize('11', { widthMdMm: 9.35 }).widthLlMm).toBeCloseTo(7.7, 9)
  const [usual, large] = [tabulatedCrown('11'), tabulatedCrown('11', { widthMdMm: 9.35 })]
  expect(enclosedVolume(large.mesh) / enclosedVolume(usual.mesh)).toBeCloseTo(1.1 ** 3, 9)
})

test('two sizes given scale the third by their geometric mean: 1.44 and 1 make 1.2', () => {
  const table = toothDimensions('16')
  const size = { widthMdMm: table.widthMdMm * 1.44, widthLlMm: table.widthLlMm }
  expect(fullCrownSize('16', size).lengthMm).toBeCloseTo(table.crownLengthMm * 1.2, 9)
})

test('no size is the table, and the same crown comes back for the same size', () => {
  expect(fullCrownSize('34')).toEqual({ lengthMm: 8.5, widthMdMm: 7, widthLlMm: 7.5 })
  expect(tabulatedCrown('34', {})).toBe(tabulatedCrown('34'))
  expect(tabulatedCrown('34', { lengthMm: 8.5 })).toBe(tabulatedCrown('34'))
  expect(tabulatedCrown('34', { lengthMm: 9 })).toBe(tabulatedCrown('34', { lengthMm: 9 }))
})

test('the cervical margin scales along: widths with the widths, its rise with the length', () => {
  const { cejCurve, landmarks } = tabulatedCrown('11', { lengthMm: 12.6, widthMdMm: 8.5, widthLlMm: 8.4 })
  expect(extent(cejCurve.map((p) => p[1]))).toBeCloseTo(7, 6)
  expect(extent(cejCurve.map((p) => p[0]))).toBeCloseTo(7.2, 2)
  expect(Math.min(...cejCurve.map((p) => p[2]))).toBeCloseTo(-3.5 * 1.2, 6)
  expect(landmarks.zenith[2]).toBeCloseTo(0, 9)
})

test('sizes that are a slip are refused by name with what is plausible', () => {
  expect(() => tabulatedCrown('11', { lengthMm: 105 })).toThrow(
    'lengthMm 105 is not plausible for a crown of tooth 11: give 5.25 to 21 mm',
  )
  for (const mm of [0, -8, 4.2, 17.1, Number.NaN, Number.POSITIVE_INFINITY])
    expect(() => checkCrownSize('11', { widthMdMm: mm })).toThrow('widthMdMm')
  expect(() => checkCrownSize('19', { widthMdMm: 8 })).toThrow('"19"')
  expect(checkCrownSize('11', { widthMdMm: 4.25, widthLlMm: 14 })).toEqual({ widthMdMm: 4.25, widthLlMm: 14 })
})

test('sizeOf measures a crown of a mesh as well: the size of one tooth for the other side', () => {
  const measured = sizeOf(crownFromMesh(tabulatedCrown('21', { widthMdMm: 9.1, lengthMm: 9.9 }).mesh, '21'))
  expect(measured.widthMdMm).toBeCloseTo(9.1, 9)
  expect(measured.lengthMm).toBeCloseTo(9.9, 9)
  const other = sizeOf(tabulatedCrown('11', measured))
  for (const field of ['lengthMm', 'widthMdMm', 'widthLlMm'] as const)
    expect(other[field]).toBeCloseTo(measured[field], 9)
})

test('many sizes do not change the ones before: a crown made again is the same', () => {
  const before = [...tabulatedCrown('12', { lengthMm: 8.8 }).mesh.positions]
  for (let i = 0; i < 200; i++) tabulatedCrown('12', { lengthMm: 8 + i / 1000 })
  expect([...tabulatedCrown('12', { lengthMm: 8.8 }).mesh.positions]).toEqual(before)
})
