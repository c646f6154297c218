import { describe, expect, test } from 'vitest'
import { plateGrey } from '../../src/bone/edge-fit.js'
import { normalCdf } from '../../src/bone/normal.js'

/** Where a falling function falls through a level, by bisection. */
function fallsThrough(f: (x: number) => number, level: number, from: number, to: number): number {
  let [low, high] = [from, to]
  for (let turn = 0; turn < 80; turn++) {
    const middle = (low + high) / 2
    if (f(middle) > level) low = middle
    else high = middle
  }
  return low
}

/** Where a function with one peak is highest, by golden section. */
function peakOf(f: (x: number) => number, from: number, to: number): number {
  let [low, high] = [from, to]
  const ratio = (Math.sqrt(5) - 1) / 2
  for (let turn = 0; turn < 100; turn++) {
    const c = high - ratio * (high - low)
    const d = low + ratio * (high - low)
    if (f(c) > f(d)) high = d
    else low = c
  }
  return (low + high) / 2
}

const plate = (thicknessMm: number, sigmaMm: number, levels = { inner: 400, cortex: 1500, outside: 50 }) => {
  const model = {
    ...{ outerMm: 0, thicknessMm, sigmaMm },
    ...{ innerGrey: levels.inner, cortexGrey: levels.cortex, outsideGrey: levels.outside },
  }
  return (x: number) => plateGrey(model, x)
}

describe('the peak of a blurred plate 400 | 1500 | 50', () => {
  for (const [t, s, grey] of [
    [0.5, 0.25, 1101.26],
    [0.3, 0.25, 813.999],
    [0.75, 0.25, 1331.724],
    [0.5, 0.35, 904.722],
    [0.5, 0.15, 1379.574],
  ])
    test(`t ${t}, s ${s}: ${grey}`, () => {
      const f = plate(t, s)
      expect(Math.abs(f(peakOf(f, -t - 0.3, 0.2)) - grey)).toBeLessThan(1e-3)
    })

  test('t 0.5, s 0.25: it stands at -0.28453', () => {
    expect(Math.abs(peakOf(plate(0.5, 0.25), -0.8, 0.2) + 0.28453)).toBeLessThan(2e-5)
  })
})

describe('half-maximum width of a symmetric sheet, in units of its blur', () => {
  for (const [t, width] of [
    [0.5, 2.3795],
    [1, 2.4546],
    [1.5, 2.5837],
    [2, 2.7714],
    [3, 3.3326],
    [4, 4.114],
    [5, 5.0311],
  ])
    test(`t ${t}: ${width}`, () => {
      const f = plate(t, 1, { inner: 0, cortex: 1, outside: 0 })
      expect(Math.abs(2 * (fallsThrough(f, f(-t / 2) / 2, -t / 2, 9) + t / 2) - width)).toBeLessThan(1e-4)
    })

  test('the peak of a sheet as thick as two sigmas is 0.682689 of its height', () => {
    expect(plate(0.5, 0.25, { inner: 0, cortex: 1, outside: 0 })(-0.25)).toBeCloseTo(0.682689, 6)
    expect(2 * normalCdf(1) - 1).toBeCloseTo(0.682689, 6)
  })
})
