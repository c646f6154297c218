import { createRandom, cubicGrid, plateStack, renderField } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import { inSector, sectorsOf } from '../src/assess/sectors.js'
import { partedStatistics } from '../src/bone/density.js'
import {
  coreSamples,
  createVolume,
  type DensitySamples,
  densityStatistics,
  fixtureFrame,
  fixtureProfile,
  fromFrame,
  shellSamples,
} from '../src/index.js'
import { allBone } from './density-scene.js'

/** The shell's plate of 0.5 mm lies along the voxels, the worst way: at 0.3 and 0.4 mm what the voxels miss shows. */
const SHELL_BARS = [
  [0.1, 0.002],
  [0.2, 0.002],
  [0.3, 0.003],
  [0.4, 0.008],
] as const
const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })

const layers = (faces: readonly number[], greys: readonly number[], spacingMm: number) => {
  const across = Math.ceil(7 / spacingMm)
  return renderField(
    plateStack({ origin: [0, 0, 0], normal: [1, 0, 0], faces, greys, sigmaMm: 0.25 }),
    cubicGrid([across, across, Math.ceil(12 / spacingMm)], spacingMm, [0.03, 0.05, 5]),
    { type: 'float32' },
  )
}

for (const [spacingMm, shellBar] of SHELL_BARS)
  describe(`blurred means in closed form, sigma 0.25 mm, voxels ${spacingMm} mm`, () => {
    // Half space 400 | 50 with its face at d: the chord of a disc of radius 2 mm integrated against the blurred step.
    for (const [d, mean] of [
      [0, 225],
      [0.5, 279.6626],
      [1, 330.5461],
      [1.5, 372.6034],
    ])
      test(`core mean with the face ${d} mm from the axis is ${mean} within 0.2 %`, () => {
        const model = allBone(layers([d], [400, 50], spacingMm))
        const core = densityStatistics(coreSamples(model, frame, profile))
        expect(core?.samples).toBe(5760)
        expect(Math.abs((core?.mean ?? 0) / mean - 1)).toBeLessThan(0.002)
      })

    // Shell 2.0 to 2.5 mm, plate 400 | 1500 | 50 of 0.5 mm with its outer face at d.
    for (const [d, mean] of [
      [3, 423.5529],
      [2.3, 530.9102],
    ])
      test(`shell mean with a plate ending ${d} mm from the axis is ${mean} within ${100 * shellBar} %`, () => {
        const model = allBone(layers([d - 0.5, d], [400, 1500, 50], spacingMm))
        const shell = densityStatistics(shellSamples(model, frame, profile))
        expect(shell?.samples).toBe(2880)
        expect(Math.abs((shell?.mean ?? 0) / mean - 1)).toBeLessThan(shellBar)
      })
  })

test('the samples stand for the whole volume: 40 pi of the core, pi (2.5^2 - 2^2) 10 of the shell, a cone frustum', () => {
  const model = allBone(layers([0], [400, 50], 0.4))
  expect(densityStatistics(coreSamples(model, frame, profile))?.volumeMm3).toBeCloseTo(40 * Math.PI, 9)
  expect(densityStatistics(shellSamples(model, frame, profile))?.volumeMm3).toBeCloseTo(22.5 * Math.PI, 9)
  // Radii 2 and 1.2, 10 mm long: pi 10 (4 + 2.4 + 1.44) / 3.
  const cone = fixtureProfile({ kind: 'tapered', diameterMm: 4, apexDiameterMm: 2.4, lengthMm: 10 })
  const tapered = densityStatistics(coreSamples(model, frame, cone))
  expect((tapered?.volumeMm3 ?? 0) / ((10 * Math.PI * (4 + 2.4 + 1.44)) / 3)).toBeCloseTo(1, 4)
})

test('a fixture outside the scan has no density, half outside it is told', () => {
  const model = allBone(layers([0], [400, 50], 0.4))
  const at = (z: number) =>
    coreSamples(model, fixtureFrame({ platform: [0, 0, z], apical: [0, 0, 1] }, [1, 0, 0]), profile)
  expect(densityStatistics(at(100))).toBeNull()
  expect(at(100).noDataShare).toBe(1)
  // 30 voxels of 0.4 mm about z = 5: the last centre lies at 10.8 mm, half of a fixture from 5.8 mm on.
  const half = densityStatistics(at(5.8))
  expect(half?.noDataShare).toBeCloseTo(0.5, 2)
  expect(half?.volumeMm3).toBeCloseTo(20 * Math.PI, 0)
})

/** Samples whose greys, weights, bone and missing places are all uneven, as they come. */
function unevenSamples(): DensitySamples {
  const random = createRandom('uneven')
  const shape = [60, 60, 70] as const
  const data = Int16Array.from({ length: 60 * 60 * 70 }, () => 3000 * random.uniform() ** 3 - 500)
  for (let n = 0; n < data.length; n++) if (random.uniform() < 0.002) data[n] = -32768
  const indexToWorld = fromFrame([0.2, 0, 0], [0, 0.2, 0], [0, 0, 0.2], [-6, -6, -1])
  const model = allBone(createVolume({ data, shape, indexToWorld, noData: -32768 }))
  for (let n = 0; n < model.exterior.cells.length; n++)
    model.exterior.cells[n] = random.uniform() < 0.3 ? 1 : 0
  const cone = fixtureProfile({ kind: 'tapered', diameterMm: 4.6, apexDiameterMm: 2.2, lengthMm: 11 })
  const tilted = fixtureFrame({ platform: [0.2, 0.1, 0], apical: [0.1, 0.15, 1] }, [1, 0.2, 0])
  return shellSamples(model, tilted, cone)
}

describeWithPython('weighted mean, SD and percentiles are those of NumPy', ['numpy'], (run) => {
  const random = createRandom('weights')
  const uneven = unevenSamples()
  const samples = { ...uneven, weights: uneven.weights.map(() => 1 + Math.floor(9 * random.uniform())) }
  const sectors = sectorsOf('11')
  const cellOf = Int8Array.from({ length: samples.places }, (_, n) =>
    sectors.findIndex((sector) => inSector(sector, samples.anglesDeg[n])),
  )
  // A whole weight is so many equal values; 'inverted_cdf': the least value up to which at least that share lies.
  const script = `
import json, sys
import numpy as np
def told(cell):
    greys, bone = np.repeat(np.array(cell['greys']), cell['weights']), np.repeat(cell['bone'], cell['weights']) == 1
    return [greys.mean(), greys.std(), *np.percentile(greys, [5, 50, 95], method='inverted_cdf'),
            greys[bone].mean(), bone.mean(), greys.size]
print(json.dumps([[float(x) for x in told(cell)] for cell in json.loads(sys.argv[1])]))`

  test('in every sector', () => {
    const found = partedStatistics(samples, [{ cells: 4, cellOf }])[0]
    const inCell = (cell: number, values: ArrayLike<number>) =>
      Array.from(values).filter((_, n) => n < samples.count && cellOf[n] === cell)
    const cells = [0, 1, 2, 3].map((cell) => ({
      greys: inCell(cell, samples.greys).map((grey) => Number(grey.toFixed(6))),
      weights: inCell(cell, samples.weights),
      bone: inCell(cell, samples.inBone),
    }))
    const wanted: number[][] = JSON.parse(run(script, [JSON.stringify(cells)]))
    expect(samples.places - samples.count).toBeGreaterThan(20)
    wanted.forEach((numbers, cell) => {
      const s = found[cell]
      const told = [s?.mean, s?.sd, s?.p5, s?.median, s?.p95, s?.boneMean, s?.boneShare, s?.volumeMm3]
      expect(told).toHaveLength(numbers.length)
      for (const [n, number] of numbers.entries()) expect(told[n]).toBeCloseTo(number, 5)
      expect(s?.samples).toBe(cells[cell].greys.length)
    })
  })
})
