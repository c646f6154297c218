import { beforeAll, describe, expect, test } from 'vitest'
import { type Bar, bars } from './bars.js'
import type { Findings } from './findings.js'
import { NOTHING, someFindings } from './some-findings.js'
import { correlatedStudy, gridName, gridStudy, thinStudy } from './studies/index.js'

// The bars of docs/accuracy.md with two seeds of some of its cases: shells known in closed form.
describe('eccentric shells, everything calibrated from the scan', () => {
  let found: Findings
  beforeAll(async () => {
    const grid = [
      gridName(0.2, 0.25, 0),
      gridName(0.2, 0.25, 100),
      gridName(0.3, 0.25, 100),
      gridName(0.4, 0.35, 100),
      gridName(0.4, 0.35, 150),
    ]
    found = {
      ...NOTHING,
      grid: await someFindings(gridStudy, grid, 2),
      thin: await someFindings(thinStudy, [gridName(0.2, 0.25, 100)], 2),
      correlated: await someFindings(correlatedStudy, [gridName(0.2, 0.25, 100)], 2),
    }
  }, 240_000)

  test('refined: every bar is met', () => {
    const asked = bars(found, 'refined')
    expect(asked.filter((bar) => !bar.met)).toEqual([])
    expect(asked.map((bar) => bar.name)).toEqual([
      'noise-free, h <= 0.3, s >= 0.2, t >= 0.5: bias',
      'noise-free, h <= 0.3, s >= 0.2, t >= 0.5: p95',
      'h 0.2 s 0.25 n 100: p95',
      'h 0.2 s 0.25 n 100: rays lost or off by more than 0.5',
      'h 0.3 s 0.25 n 100: p95',
      'h 0.4 s 0.35 n 100: p95',
      'h 0.4 s 0.35 n 150: p95',
      'plates of 0.4 to 0.6, h 0.2 s 0.25 n 100: bias',
      'plates of 0.4 to 0.6, h 0.2 s 0.25 n 100: SD',
      'plates of 0.25 to 0.35, h 0.2 s 0.25 n 100: bias',
      'plates of 0.25 to 0.35, h 0.2 s 0.25 n 100: SD',
      'correlated noise, texture 150, h 0.2 s 0.25: p95',
      'calibration, s >= 0.6 h: cortical level, %',
      'calibration, s >= 0.6 h: blur, %',
      'share outside the 95 % interval, any bin, s >= 0.6 h, %',
      'fast against refined, h <= 0.3 n 100, s >= 0.6 h: p95',
    ])
  })

  test('a ruler that is no better than half the height of the peak would miss the bar of thin plates', () => {
    // Half-maximum reads a plate of 0.5 mm 0.097 mm too far out: the bar of 0.01 mm must tell.
    const spoiled = found.grid.map((f) => {
      const { refined } = f.result.errors
      const errorMm = refined.errorMm.map((e, n) => e + (refined.thicknessMm[n] < 0.6 ? 0.097 : 0))
      return {
        ...f,
        result: { ...f.result, errors: { ...f.result.errors, refined: { ...refined, errorMm } } },
      }
    })
    const missed = bars({ ...NOTHING, grid: spoiled }, 'refined').filter((bar: Bar) => !bar.met)
    expect(missed.map((bar) => bar.name)).toContain('plates of 0.4 to 0.6, h 0.2 s 0.25 n 100: bias')
  })
})
