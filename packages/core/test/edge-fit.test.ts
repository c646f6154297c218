import { blurredDisc } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { fitPlate, plateGrey } from '../src/bone/edge-fit.js'
import { normalCdf } from '../src/bone/normal.js'
import { thinPlateShift } from '../src/bone/thin-plate.js'

// Closed forms of a blurred plate 400 | 1500 | 50 with faces at -t and 0, worked out independently.
const plate = (thicknessMm: number, sigmaMm: number) => ({
  outerMm: 0,
  thicknessMm,
  innerGrey: 400,
  cortexGrey: 1500,
  outsideGrey: 50,
  sigmaMm,
})

test('normalCdf at printed places', () => {
  expect(normalCdf(0)).toBe(0.5)
  expect(normalCdf(1.959963984540054)).toBeCloseTo(0.975, 14)
  expect(normalCdf(-3)).toBeCloseTo(0.0013498980316301, 14)
})

describe('plateGrey(plate, x)', () => {
  for (const [t, s, rows] of [
    [
      0.5,
      0.25,
      [
        [-1.5, 400.0348],
        [-0.5, 917.0123],
        [-0.25, 1095.4291],
        [0, 749.9749],
        [0.25, 278.5652],
        [1, 50.0459],
      ],
    ],
    [
      1,
      0.25,
      [
        [-1, 949.9541],
        [-0.5, 1441.9872],
        [0, 774.9652],
      ],
    ],
    [
      0.3,
      0.35,
      [
        [-0.3, 666.2597],
        [-0.15, 648.0002],
        [0, 559.7487],
      ],
    ],
  ] as const)
    test(`thickness ${t}, sigma ${s}`, () => {
      for (const [x, grey] of rows) expect(Math.abs(plateGrey(plate(t, s), x) - grey)).toBeLessThan(1e-4)
    })

  test('crossings of half maximum, 775 and 225', () => {
    for (const [t, s, half, mid, low] of [
      [0.5, 0.25, 0.08298, -0.01213, 0.29216],
      [0.3, 0.25, 0.13509, -0.1093, 0.28386],
      [0.75, 0.25, 0.03609, -0.00065, 0.29287],
      [0.5, 0.35, 0.16745, -0.07553, 0.40361],
      [0.5, 0.15, 0.01556, -0.00012, 0.17573],
    ]) {
      let peak = 0
      for (let x = -t - 0.5; x < 0.5; x += 1e-4) peak = Math.max(peak, plateGrey(plate(t, s), x))
      expect(Math.abs(outerCrossing(t, s, 50 + (peak - 50) / 2) - half)).toBeLessThan(2e-5)
      expect(Math.abs(outerCrossing(t, s, 775) - mid)).toBeLessThan(2e-5)
      expect(Math.abs(outerCrossing(t, s, 225) - low)).toBeLessThan(2e-5)
    }
  })
})

/** Where the plate's grey falls through a level on its outer side. */
function outerCrossing(t: number, s: number, level: number): number {
  let low = -t / 2
  let high = 2
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2
    if (plateGrey(plate(t, s), middle) > level) low = middle
    else high = middle
  }
  return low
}

test('fitPlate finds a plate again from a clean profile, levels unknown', () => {
  const positions = Array.from({ length: 45 }, (_, n) => -3 + 0.1 * n)
  const truth = { ...plate(0.8, 0.27), outerMm: 0.13 }
  const greys = positions.map((x) => plateGrey(truth, x))
  const wide = Number.POSITIVE_INFINITY
  const fit = fitPlate(positions, greys, new Float64Array(45).fill(1), 10, {
    outerMm: { value: 0, sd: wide },
    thicknessMm: { value: 1, sd: wide },
    innerGrey: { value: 300, sd: wide },
    outsideGrey: { value: 0, sd: wide },
    cortexGrey: { value: 1300, sd: wide },
    sigmaMm: { value: 0.3, sd: 0.2 },
  })
  expect(fit.outerMm).toBeCloseTo(0.13, 3)
  expect(fit.thicknessMm).toBeCloseTo(0.8, 2)
  expect(fit.cortexGrey).toBeCloseTo(1500, -1)
})

test('a thick plate has no thin-plate shift, a thin one is drawn in', () => {
  expect(thinPlateShift(1)).toBeCloseTo(0, 2)
  expect(thinPlateShift(0.6)).toBeGreaterThan(0.01)
  expect(thinPlateShift(0.6)).toBeLessThan(0.2)
})

test('a blurred disc falls to half its height kappa s^2 / 2 inside its edge', () => {
  // R 3, s 0.3: half level at 2.984937; the formula gives 3 - 0.3^2 / (2 x 3) = 2.985.
  expect(blurredDisc(2.984937, 3, 0.3)).toBeCloseTo(0.5, 5)
})
