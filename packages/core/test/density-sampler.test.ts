import { expect, test } from 'vitest'
import { cubicSampler } from '../src/bone/density-sampler.js'
import { createSampler, createVolume, fromFrame, type Vec3 } from '../src/index.js'

const shape: Vec3 = [8, 9, 10]
const field = (i: number, j: number, k: number) =>
  3 + i - 2 * j + 0.5 * k + 0.3 * i * i - 0.2 * j * j + 0.1 * k * k + 0.4 * i * j - 0.25 * j * k

function volume(noDataAt?: Vec3) {
  const data = new Float32Array(shape[0] * shape[1] * shape[2])
  for (let k = 0, n = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++) for (let i = 0; i < shape[0]; i++, n++) data[n] = field(i, j, k)
  if (noDataAt) data[noDataAt[0] + shape[0] * (noDataAt[1] + shape[1] * noDataAt[2])] = -9999
  const indexToWorld = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])
  return createVolume({ data, shape, indexToWorld, ...(noDataAt ? { noData: -9999 } : {}) })
}

const places: Vec3[] = [
  [3.2, 4.7, 5.1],
  [1, 1, 1],
  [2.999, 4.5, 5],
  [5.5, 6.9, 7.3],
]

test('cubic convolution with a = -1/2 is exact for a quadratic field', () => {
  const sample = cubicSampler(volume())
  for (const [i, j, k] of places) expect(sample(i, j, k)).toBeCloseTo(field(i, j, k), 4)
})

test('within a voxel of the edge, and where one of the 64 holds no data, it is the trilinear value', () => {
  const plain = volume()
  for (const [i, j, k] of [
    [0.5, 4.2, 5.3],
    [6.2, 4.2, 5.3],
    [3.3, 7.9, 5.3],
    [3.3, 4.2, 8.6],
  ])
    expect(cubicSampler(plain)(i, j, k)).toBe(createSampler(plain)(i, j, k))
  const holed = volume([2, 4, 5])
  expect(cubicSampler(holed)(3.2, 4.7, 5.1)).toBe(createSampler(holed)(3.2, 4.7, 5.1))
  expect(cubicSampler(holed)(2.2, 4.7, 5.1)).toBeNaN()
  expect(cubicSampler(holed)(4.2, 4.7, 5.1)).toBeCloseTo(field(4.2, 4.7, 5.1), 4)
})

test('outside the voxel centres there is no value', () => {
  const sample = cubicSampler(volume())
  for (const [i, j, k] of [
    [-0.1, 4, 5],
    [7.1, 4, 5],
    [3, 4, Number.NaN],
  ])
    expect(sample(i, j, k)).toBeNaN()
})
