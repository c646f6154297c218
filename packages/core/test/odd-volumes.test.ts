import { createRandom } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { assess, createVolume, fromFrame, type Vec3, type VoxelArray } from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'

const centred = (data: VoxelArray, shape: Vec3, noData?: number) =>
  createVolume({
    data,
    shape,
    indexToWorld: fromFrame(
      [0.4, 0, 0],
      [0, 0.4, 0],
      [0, 0, 0.4],
      [-0.2 * shape[0], -0.2 * shape[1], 5 - 0.2 * shape[2]],
    ),
    ...(noData === undefined ? {} : { noData }),
  })

const random = createRandom('odd')
const cases: [name: string, volume: () => ReturnType<typeof centred>][] = [
  ['one grey everywhere', () => centred(new Int16Array(40 ** 3).fill(7), [40, 40, 40])],
  ['no data everywhere', () => centred(new Int16Array(40 ** 3).fill(-32768), [40, 40, 40], -32768)],
  [
    'noise alone',
    () =>
      centred(
        Int16Array.from({ length: 40 ** 3 }, () => 50 * random.normal()),
        [40, 40, 40],
      ),
  ],
  [
    'two slices',
    () =>
      centred(
        Int16Array.from({ length: 3200 }, (_, n) => n),
        [40, 40, 2],
      ),
  ],
  ['eight voxels', () => centred(Float32Array.from([1, 2, 3, 4, 5, 6, 7, 8]), [2, 2, 2])],
  ['one voxel', () => centred(Int16Array.from([5]), [1, 1, 1])],
  ['all bone', () => centred(new Int16Array(40 ** 3).fill(1500).fill(0, 0, 40), [40, 40, 40])],
]

describe('assess on a volume that is no jaw gives an assessment without numbers that are not numbers', () => {
  for (const [name, volume] of cases)
    test(name, () => {
      const assessment = assess(volume(), uprightPlan())
      expect(assessment.findings.length).toBeGreaterThan(0)
      const text = JSON.stringify(assessment, (_key, value) =>
        typeof value === 'number' && !Number.isFinite(value) ? 'BROKEN' : value,
      )
      expect(text).not.toContain('BROKEN')
    })
})
