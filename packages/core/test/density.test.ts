import { cubicGrid, plateStack, renderField } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import type { BoneModel } from '../src/index.js'
import {
  coreSamples,
  densityStatistics,
  fixtureFrame,
  fixtureProfile,
  shellSamples,
  type Volume,
} from '../src/index.js'

/** A model that calls everything bone: density needs no more of it. */
const allBone = (volume: Volume): BoneModel => ({
  volume,
  calibration: { softGrey: 0, cortexGrey: 1, psfSigmaMm: 0.25, noiseSd: 1, thickCortex: true, sites: 0 },
  exterior: { cells: new Uint8Array(volume.data.length), shape: volume.shape, step: [1, 1, 1] },
  softAt: () => 0,
  smoothingMm: 0.25,
  smoothed: () => () => Number.NaN,
})

/** Voxels of 0.1 mm: at 0.2 mm the sampler's own blur (variance h^2 / 6) alone moves these shell means by 0.4 and 0.5 %. */
const layers = (faces: readonly number[], greys: readonly number[], sigmaMm: number) =>
  renderField(
    plateStack({ origin: [0, 0, 0], normal: [1, 0, 0], faces, greys, sigmaMm }),
    cubicGrid([70, 70, 110], 0.1, [0.03, 0.05, 5]),
    { type: 'float32' },
  )

const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })

// Blurred means in closed form, sigma 0.25 mm: core radius 2 mm, half space 400 | 50 with its face at d.
for (const [d, mean] of [
  [0, 225],
  [0.5, 279.6626],
  [1, 330.5461],
  [1.5, 372.6034],
])
  test(`core mean with the face ${d} mm from the axis is ${mean} within 0.2 %`, () => {
    const core = densityStatistics(coreSamples(allBone(layers([d], [400, 50], 0.25)), frame, profile))
    expect(core?.samples).toBe(5760)
    expect(Math.abs((core?.mean ?? 0) / mean - 1)).toBeLessThan(0.002)
  })

// Closed form: shell 2.0 to 2.5 mm, plate 400 | 1500 | 50 of 0.5 mm with its outer face at d.
for (const [d, mean] of [
  [3, 423.5529],
  [2.3, 530.9102],
])
  test(`shell mean with a plate ending ${d} mm from the axis is ${mean} within 0.2 %`, () => {
    const volume = layers([d - 0.5, d], [400, 1500, 50], 0.25)
    const shell = densityStatistics(shellSamples(allBone(volume), frame, profile))
    expect(shell?.samples).toBe(2880)
    expect(Math.abs((shell?.mean ?? 0) / mean - 1)).toBeLessThan(0.002)
  })

test('a fixture outside the scan has no density', () => {
  const away = fixtureFrame({ platform: [100, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  expect(densityStatistics(coreSamples(allBone(layers([0], [400, 50], 0.25)), away, profile))).toBeNull()
})
