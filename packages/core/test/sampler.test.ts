import { expect, test } from 'vitest'
import { createVolume, fromFrame, sampleAt } from '../src/index.js'

const volume = createVolume({
  data: Int16Array.from({ length: 24 }, (_, n) => n),
  shape: [2, 3, 4],
  indexToWorld: fromFrame([0.5, 0, 0], [0, 0.25, 0], [0, 0, 2], [10, 20, 30]),
  noData: 23,
})

test('sampleAt(voxel centre) is that voxel', () => {
  expect(sampleAt(volume, [10.5, 20.25, 32])).toBe(1 + 2 + 6)
})

test('sampleAt(between voxels) is trilinear', () => {
  expect(sampleAt(volume, [10.25, 20.125, 31])).toBeCloseTo(0.5 + 1 + 3, 12)
})

test('sampleAt(outside) and sampleAt(next to no data) are null, the far face is inside', () => {
  expect(sampleAt(volume, [9.99, 20, 30])).toBeNull()
  expect(sampleAt(volume, [10.4, 20.4, 35.9])).toBeNull()
  expect(sampleAt(volume, [10, 20.5, 36])).toBe(22)
})

test('sampleAt(a point on the far face that rounding puts beyond it) is on the face', () => {
  expect(sampleAt(volume, [10, 20.5, 36 + 1e-12])).toBe(22)
  expect(sampleAt(volume, [10 - 1e-12, 20.5, 36])).toBe(22)
  expect(sampleAt(volume, [10, 20.5, 36.001])).toBeNull()
})
