import { expect, test } from 'vitest'
import { boxAround, createVolume, fromFrame, sampleAt, subVolume } from '../src/index.js'
import { marginArray, volumeArray } from '../src/ndarray.js'

const volume = createVolume({
  data: Int16Array.from({ length: 60 }, (_, n) => n * n),
  shape: [3, 4, 5],
  indexToWorld: fromFrame([0.5, 0, 0], [0, 0.5, 0], [0, 0, 0.5], [0, 0, 0]),
})

test('volumeArray(volume) sees the same voxels without a copy, indexed x, y, z', () => {
  const array = volumeArray(volume)
  expect(array.data).toBe(volume.data)
  expect(array.shape).toEqual([3, 4, 5])
  expect(array.get(2, 1, 3)).toBe(sampleAt(volume, [1, 0.5, 1.5]))
})

test('volumeArray(part of a volume) is a view of the part', () => {
  const box = boxAround(volume, [[0.5, 0.5, 1]], 0.5)
  if (box === null) throw new Error('the box is empty')
  const part = subVolume(volume, box)
  const array = volumeArray(part)
  expect(array.data).toBe(volume.data)
  expect(array.shape).toEqual([3, 3, 3])
  expect(array.get(0, 0, 0)).toBe(volumeArray(volume).get(0, 0, 1))
  expect(sampleAt(part, [1, 0.5, 1.5])).toBe(sampleAt(volume, [1, 0.5, 1.5]))
})

test('marginArray(margin) is depth x angle over the map itself', () => {
  const radialMm = Float64Array.from([1, 2, 3, 4, 5, 6])
  const grid = { depthsMm: [0, 1], anglesDeg: [0, 120, 240] }
  const array = marginArray({ grid, radialMm })
  expect(array.data).toBe(radialMm)
  expect(array.get(1, 2)).toBe(6)
})
