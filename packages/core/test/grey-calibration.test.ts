import { describe, expect, test } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import {
  type CalibrationPoint,
  checkPlan,
  densityBands,
  greyCalibration,
  readPlan,
  USUAL_HU_SD,
  withScan,
  writePlan,
} from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'

const point = (grey: number, hu: number, huSd?: number, greySd?: number): CalibrationPoint => ({
  what: '',
  grey,
  hu,
  ...(huSd === undefined ? {} : { huSd }),
  ...(greySd === undefined ? {} : { greySd }),
})

describe('two points', () => {
  test('grey -1000 is -1000 HU and 0 is 40: slope 1.04, intercept 40, grey 700 is 768', () => {
    const line = greyCalibration([point(-1000, -1000), point(0, 40)])
    expect(line.slope).toBeCloseTo(1.04, 12)
    expect(line.intercept).toBeCloseTo(40, 9)
    expect(line.hu(700).hu).toBeCloseTo(768, 9)
  })

  test('the interval is that of the points at the points and widens beyond them', () => {
    // Var(u) = (1 - u)^2 s0^2 + u^2 s1^2 on the way u from the first point to the second.
    const line = greyCalibration([point(-1000, -1000, 30), point(0, 40, 20)])
    const half = (u: number) => 1.96 * Math.hypot((1 - u) * 30, u * 20)
    for (const u of [0, 0.25, 0.5, 1, 1.7]) {
      expect(line.hu(-1000 + 1000 * u).halfWidthHu).toBeCloseTo(half(u), 8)
      expect(line.hu(-1000 + 1000 * u).beyondPoints).toBe(u > 1)
    }
  })

  test('the spread of a grey value counts by the slope; HU without a spread counts with 50 HU', () => {
    const line = greyCalibration([point(0, 0, undefined, 10), point(100, 200, 15, 4)])
    expect(line.hu(0).halfWidthHu).toBeCloseTo(1.96 * Math.hypot(50, 20), 8)
    expect(line.hu(100).halfWidthHu).toBeCloseTo(1.96 * Math.hypot(15, 8), 8)
    const bare = greyCalibration([point(-1000, -1000), point(0, 40)])
    expect(USUAL_HU_SD).toBe(50)
    expect(bare.hu(0).halfWidthHu).toBeCloseTo(1.96 * 50, 8)
    // Near a class's edge the line alone does not tell the class: 768 HU within 180 is D2 to D3.
    expect(bare.hu(700).halfWidthHu).toBeCloseTo(1.96 * 50 * Math.hypot(0.7, 1.7), 8)
    expect(densityBands(bare.hu(700))[0]?.text).toBe('D2 to D3')
  })
})

describeWithPython('a line through several points is that of numpy.polyfit', ['numpy'], (run) => {
  const polyfit = (points: readonly CalibrationPoint[]): [number, number, number, number, number, number] => {
    const script = `
import json, sys
import numpy as np
p = json.loads(sys.argv[1])
x, y, s = ([q[k] for q in p] for k in ('grey', 'hu', 'huSd'))
(a, b), c = np.polyfit(x, y, 1, w=1 / np.array(s), cov='unscaled')
chi2 = (((np.polyval((a, b), x) - y) / s) ** 2).sum()
print(json.dumps([a, b, c[0][0], c[1][1], c[0][1], chi2]))`
    return JSON.parse(run(script, [JSON.stringify(points)]))
  }

  test('with the same covariance where the points lie within their spread', () => {
    const points = [
      point(-980, -1000, 12),
      point(-95, -80, 20),
      point(10, 25, 15),
      point(310, 335, 30),
      point(905, 930, 60),
    ]
    const [slope, intercept, ofSlope, ofIntercept, both, chi2] = polyfit(points)
    expect(chi2 / 3).toBeLessThan(1)
    const line = greyCalibration(points)
    expect(line.slope).toBeCloseTo(slope, 10)
    expect(line.intercept).toBeCloseTo(intercept, 7)
    expect(line.covariance.slope / ofSlope).toBeCloseTo(1, 8)
    expect(line.covariance.intercept / ofIntercept).toBeCloseTo(1, 8)
    expect(line.covariance.both / both).toBeCloseTo(1, 8)
  })

  test('grown by chi-square per degree of freedom where they do not', () => {
    const points = [point(-900, -1000, 10), point(0, 90, 10), point(400, 380, 10), point(800, 1000, 10)]
    const [slope, , ofSlope, ofIntercept, both, chi2] = polyfit(points)
    expect(chi2 / 2).toBeGreaterThan(10)
    const line = greyCalibration(points)
    expect(line.slope).toBeCloseTo(slope, 10)
    expect(line.covariance.slope / ofSlope).toBeCloseTo(chi2 / 2, 6)
    expect(line.covariance.intercept / ofIntercept).toBeCloseTo(chi2 / 2, 6)
    expect(line.covariance.both / both).toBeCloseTo(chi2 / 2, 6)
  })
})

test('points without two greys, or on a falling or level line, make no calibration', () => {
  expect(() => greyCalibration([point(5, 0), point(5, 100)])).toThrow(/at least two different grey values/)
  expect(() => greyCalibration([point(0, 100), point(100, 0)])).toThrow(/rising line.*slope of -1\.00/)
  expect(() => greyCalibration([point(0, 40), point(100, 40)])).toThrow(/rising line/)
  expect(() => greyCalibration([])).toThrow(RangeError)
})

describe('densityBands', () => {
  const texts = (hu: number, halfWidthHu: number) =>
    densityBands({ hu, halfWidthHu, beyondPoints: false }).map(({ text }) => text)

  test('one class where the interval lies in it', () => {
    expect(texts(600, 10)).toEqual(['D3', 'type 2/3', 'normal', '> 400'])
    expect(texts(1400, 50)).toEqual(['D1', 'type 1', 'hard', '> 400'])
    expect(texts(-80, 10)).toEqual(['D5', '< 0', 'soft', '< 200'])
  })

  test('a range, the densest first, where it straddles', () => {
    expect(texts(850, 1)).toEqual(['D2 to D3', 'type 1 to type 2/3', 'normal', '> 400'])
    expect(texts(500, 450)).toEqual(['D2 to D5', 'type 1 to type 4', 'normal to soft', '> 400 to < 200'])
  })
})

describe('the calibration of a plan', () => {
  const points = [
    { what: 'air', grey: -1000, hu: -1000 },
    { what: 'soft tissue', grey: 0, greySd: 20, hu: 40, huSd: 15, roi: 'tongue' },
  ]
  const withPoints = (change: unknown) =>
    JSON.stringify({ ...uprightPlan(), calibration: change === undefined ? {} : { points: change } })

  test('survives reading, writing and a change of scan, fields unknown to this version included', () => {
    const plan = readPlan(withPoints(points))
    expect(plan.calibration?.points).toEqual(points)
    expect(readPlan(writePlan(plan))).toEqual(plan)
    const scan = {
      identity: { seriesUid: '1', frameOfReferenceUid: '2', fingerprint: '3' },
      remarks: [],
    }
    expect(withScan(plan, scan).calibration).toEqual(plan.calibration)
    expect(checkPlan(uprightPlan()).calibration).toBeUndefined()
  })

  const changed = (n: number, change: object) => points.map((p, i) => (i === n ? { ...p, ...change } : p))
  const cases: [name: string, points: unknown, says: RegExp][] = [
    ['no list', undefined, /calibration\.points must be a list of at least two points, got undefined/],
    ['one point', points.slice(0, 1), /calibration\.points must be a list of at least two points, got \[\{/],
    ['no object', [1, 2], /calibration\.points\[0\] must be an object, got 1/],
    ['no name', changed(0, { what: 3 }), /calibration\.points\[0\]\.what must be text, got 3/],
    ['grey as text', changed(1, { grey: '0' }), /calibration\.points\[1\]\.grey must be a number, got "0"/],
    ['no HU', changed(1, { hu: null }), /calibration\.points\[1\]\.hu must be a number, got null/],
    ['no spread', changed(1, { huSd: 0 }), /points\[1\]\.huSd must be more than 0, got 0: leave it out/],
    ['a spread below 0', changed(1, { greySd: -1 }), /points\[1\]\.greySd must be more than 0, got -1/],
    ['one grey', changed(1, { grey: -1000 }), /points must hold at least two different grey values/],
    ['a falling line', changed(1, { hu: -2000 }), /calibration\.points must make a rising line/],
  ]
  test.each(cases)('with %s is refused by its place', (_, bad, says) => {
    expect(() => readPlan(withPoints(bad))).toThrow(says)
  })
})
