import { describe, expect, test } from 'vitest'
import { countCells } from '../src/bone/cell-set.js'
import { coarseField } from '../src/bone/coarse.js'
import { exteriorMask, INSIDE, OUTSIDE, UNSCANNED } from '../src/bone/exterior.js'
import { boneThreshold, exteriorFor } from '../src/bone/levels.js'
import { createVolume, fromFrame, type Vec3, type Volume } from '../src/index.js'
import { withSlicesMissing } from './with-slices-missing.js'

const SPACING_MM = 0.3

/** A cube of 0.3 mm voxels painted by index: bone 1000, what is around and inside it by the painter. */
function painted(size: Vec3, grey: (i: number, j: number, k: number) => number): Volume {
  const [nx, ny, nz] = size
  const data = new Int16Array(nx * ny * nz)
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) for (let i = 0; i < nx; i++) data[n++] = grey(i, j, k)
  return createVolume({
    data,
    shape: size,
    indexToWorld: fromFrame([SPACING_MM, 0, 0], [0, SPACING_MM, 0], [0, 0, SPACING_MM], [0, 0, 0]),
  })
}

const range = (from: number, to: number) => Array.from({ length: to - from }, (_, n) => from + n)
const within = (v: number, from: number, to: number) => v >= from && v < to

/** What the mask says at a voxel; cells are voxels here. */
function maskOf(volume: Volume) {
  const { cells, shape } = exteriorMask(coarseField(volume, SPACING_MM, SPACING_MM), { boneGrey: 120 })
  expect(shape).toEqual(volume.shape)
  return ([i, j, k]: Vec3) => cells[i + shape[0] * (j + shape[1] * k)]
}

/** A closed box of bone from 3 to 37, its walls 4 voxels thick, dark marrow inside, in a scan of 40 voxels a side. */
const box = painted([40, 40, 40], (i, j, k) => {
  if (![i, j, k].every((v) => within(v, 3, 37))) return 0
  return [i, j, k].every((v) => within(v, 7, 33)) ? -50 : 1000
})

describe('exteriorMask with slices missing', () => {
  for (const planes of [[20], [19, 20, 21], [16, 17, 22, 23], [1, 5, 20, 34, 35]])
    test(`planes ${planes.join(' ')}: marrow stays inside, what is around stays outside, on every level`, () => {
      const at = maskOf(withSlicesMissing(box, planes))
      for (let k = 1; k < 39; k++) {
        const missing = planes.includes(k)
        expect(at([1, 1, k])).toBe(missing ? UNSCANNED : OUTSIDE)
        expect(at([38, 20, k])).toBe(missing ? UNSCANNED : OUTSIDE)
        if (within(k, 4, 36)) expect(at([20, 20, k])).toBe(missing ? UNSCANNED : INSIDE)
      }
    })

  test('marrow whose roof lies in the gap is not outside', () => {
    // The roof of 4 voxels at 33 to 36 is gone, and a voxel of marrow beside it.
    const at = maskOf(withSlicesMissing(box, range(32, 37)))
    expect(at([20, 20, 20])).toBe(UNSCANNED)
    expect(at([20, 20, 38])).toBe(OUTSIDE)
    expect(at([1, 20, 20])).toBe(OUTSIDE)
  })

  test('a well in bone is outside; below a gap that hides how it goes on nothing is said', () => {
    const well = painted([40, 40, 40], (i, j, k) => {
      if (![i, j].every((v) => within(v, 8, 32)) || k < 6 || k > 32) return 0
      return [i, j].every((v) => within(v, 14, 26)) && k >= 10 ? 0 : 1000
    })
    const whole = maskOf(well)
    expect(whole([20, 20, 12])).toBe(OUTSIDE)
    const cut = maskOf(withSlicesMissing(well, [20, 21]))
    expect(cut([20, 20, 12])).toBe(UNSCANNED)
    expect(cut([20, 20, 28])).toBe(OUTSIDE)
    expect(cut([2, 20, 12])).toBe(OUTSIDE)
  })

  test('nothing grows across a gap: bone on one side does not close a crack on the other', () => {
    const ends = painted([30, 30, 30], (_i, _j, k) => (k < 12 ? 1000 : 0))
    const at = maskOf(withSlicesMissing(ends, [13]))
    for (let k = 14; k < 29; k++) expect(at([15, 15, k])).toBe(OUTSIDE)
  })
})

describe('openings in bone', () => {
  /** A closed box with walls of 4 voxels, well inside the scan, and a square opening in one wall, filled with a grey. */
  const opened = (voxels: number, grey: number) =>
    painted([54, 54, 54], (i, j, k) => {
      if (![i, j, k].every((v) => within(v, 10, 44))) return 0
      if ([i, j, k].every((v) => within(v, 14, 40))) return -50
      return k > 27 && [i, j].every((v) => within(v, 27 - voxels / 2, 27 + voxels / 2)) ? grey : 1000
    })
  const middle = 27 + 54 * (27 + 54 * 27)
  const maskOfOpened = (voxels: number) =>
    exteriorMask(coarseField(opened(voxels, 0), SPACING_MM, SPACING_MM), { boneGrey: 120 })

  test('closed: marrow is inside, nothing is narrow but grooves', () => {
    for (const voxels of [0, 2]) {
      const { cells, narrow, narrowShare, leaky } = maskOfOpened(voxels)
      expect([cells[middle], narrow[middle], leaky]).toEqual([INSIDE, 0, false])
      expect(narrowShare).toBeLessThan(0.01)
    }
  })

  test('an opening of 1.8 mm, blurred to 1.2 mm: what lies behind it is outside, narrow, and a third of the surface', () => {
    const { cells, narrow, narrowShare, leaky } = maskOfOpened(6)
    expect([cells[middle], narrow[middle], leaky]).toEqual([OUTSIDE, 1, true])
    // The inner faces, 26 voxels wide, beside the outer ones, 34 wide; the blur adds a voxel to either side of bone.
    expect(narrowShare).toBeGreaterThan(0.95 * (24 ** 2 / (24 ** 2 + 36 ** 2)))
    expect(narrow.every((v, n) => v === 0 || cells[n] === OUTSIDE)).toBe(true)
  })

  test('an opening of 3.6 mm is wide', () => {
    const { cells, narrow, leaky } = maskOfOpened(12)
    expect([cells[middle], narrow[middle], leaky]).toEqual([OUTSIDE, 0, false])
  })

  test('an opening covered by thin bone, a tenth of the contrast: closed by the lower threshold, and told', () => {
    const field = coarseField(opened(8, 100), SPACING_MM, SPACING_MM)
    expect(exteriorMask(field, { boneGrey: boneThreshold(0, 1000) }).cells[middle]).toBe(OUTSIDE)
    const { cells, leaky, narrowShare } = exteriorFor(field, 0, 1000)
    expect([cells[middle], leaky]).toEqual([INSIDE, true])
    expect(narrowShare).toBeLessThan(0.01)
  })
})

describe('coarseField', () => {
  for (const spacingMm of [0.08, 0.1, 0.125, 0.15, 0.2, 0.25, 0.3, 0.4])
    test(`voxels of ${spacingMm} mm: one missing plane, wherever it lies, parts the cells`, () => {
      const n = 24
      const indexToWorld = fromFrame([spacingMm, 0, 0], [0, spacingMm, 0], [0, 0, spacingMm], [0, 0, 0])
      const whole = createVolume({ data: new Int16Array(n ** 3), shape: [n, n, n], indexToWorld })
      for (const axis of [0, 1, 2] as const)
        for (let plane = 0; plane < n; plane++) {
          const { values, shape, step } = coarseField(withSlicesMissing(whole, [plane], axis), 0.3, 0.3)
          const stride = [1, shape[0], shape[0] * shape[1]][axis]
          const without = range(0, shape[axis]).filter((c) => Number.isNaN(values[c * stride]))
          expect(without).toHaveLength(1)
          expect(Math.abs(without[0] * step[axis] - plane)).toBeLessThanOrEqual(step[axis])
        }
    })

  test('no data round a round field is no gap, missing slices in it are', () => {
    const [n, half] = [40, 19.5]
    const round = painted([n, n, n], (i, j) => (Math.hypot(i - half, j - half) > half ? -1000 : 0))
    const field = coarseField({ ...round, noData: -1000 }, SPACING_MM, SPACING_MM)
    expect(field.values.some(Number.isNaN)).toBe(true)
    expect(field.gaps).toBeUndefined()
    const data = round.data.slice().fill(-1000, 15 * n * n, 17 * n * n)
    const { gaps } = coarseField({ ...round, data, noData: -1000 }, SPACING_MM, SPACING_MM)
    expect(new Set(gaps?.part)).toEqual(new Set([0, 1, 2]))
    const discCells = gaps === undefined ? 0 : countCells(gaps.between)
    expect(discCells / (2 * Math.PI * half ** 2)).toBeCloseTo(1, 1)
  })
})
