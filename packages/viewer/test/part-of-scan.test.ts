import type { SizeOffer } from '@alveometer/scan'
import { expect, test } from 'vitest'
import { volumeBudgetBytes } from '../src/engine/budget.js'
import { middlePart, partOf } from '../src/size-offer/part.js'
import { oppositeOf, sideOf, sides } from '../src/text/sides.js'

const offer: SizeOffer = {
  shape: [100, 80, 60],
  spacingMm: [0.2, 0.2, 0.3],
  neededBytes: 960_000,
  budgetBytes: 300_000,
  half: null,
}

test('a part in millimetres and bytes', () => {
  const part = partOf(offer, { from: [10, 20, 30], to: [60, 70, 50] }, false)
  // 50 x 50 x 20 voxels of two bytes.
  expect(part.bytes).toBe(100_000)
  expect(part.sizeMm.map((mm) => Number(mm.toFixed(9)))).toEqual([10, 10, 6])
  expect(part.problem).toBeNull()
})

test('at half resolution an odd voxel at the end is left out, as the loader does', () => {
  const part = partOf(offer, { from: [0, 0, 0], to: [51, 50, 21] }, true)
  expect(part.bytes).toBe(2 * 25 * 25 * 10)
  expect(part.voxelMm).toEqual([0.4, 0.4, 0.6])
})

test.each([
  ['no whole number', [0.5, 0, 0], [50, 50, 50]],
  ['nothing typed', [Number.NaN, 0, 0], [50, 50, 50]],
  ['outside', [0, 0, 0], [101, 50, 50]],
  ['turned round', [50, 0, 0], [10, 50, 50]],
  ['a single slice', [0, 0, 4], [50, 50, 5]],
] as const)('no box: %s', (_, from, to) => {
  expect(partOf(offer, { from, to }, false).problem).toBe('no-box')
})

test('the whole is too large, the part in its middle fits', () => {
  expect(partOf(offer, { from: [0, 0, 0], to: offer.shape }, false).problem).toBe('too-large')
  const box = middlePart(offer)
  expect(partOf(offer, box, false).problem).toBeNull()
  box.from.forEach((low, n) => {
    const [high, size] = [box.to[n] as number, offer.shape[n] as number]
    expect(Math.abs(low - (size - high))).toBeLessThanOrEqual(1)
  })
})

test('a quarter of the memory of the device, 2 GB at most and where it is not told', () => {
  expect([2, 8, 32, undefined].map((deviceMemory) => volumeBudgetBytes({ deviceMemory }) / 2 ** 30)).toEqual([
    0.5, 2, 2, 2,
  ])
})

test('sides are those of LPS: x towards the left, y towards the back, z towards the head (PS3.3 C.7.6.2.1.1)', () => {
  expect(sideOf([1, 0.2, 0.1])).toBe('Left')
  expect(sideOf([0.2, 1, 0.1])).toBe('Back')
  expect(sideOf([0.2, 0.1, 1])).toBe('Head')
  expect(sides.map(oppositeOf)).toEqual(['Left', 'Right', 'Back', 'Front', 'Feet', 'Head'])
})
