import { cubicGrid, renderField, whiteNoise } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { plateGrey } from '../../src/bone/edge-fit.js'
import { boneThreshold, LOW_SHARE } from '../../src/bone/levels.js'
import { normalDensity } from '../../src/bone/normal.js'
import { createSampler } from '../../src/index.js'

test('the low crossing of a thick edge lies 0.425 mm out: h 0.2, s 0.25, smoothing 0.25, level 225 of 50 to 1500', () => {
  const sigmaMm = Math.sqrt(0.25 ** 2 + 0.25 ** 2 + 0.2 ** 2 / 6)
  expect(boneThreshold(50, 1500)).toBeCloseTo(224, 6)
  expect(LOW_SHARE).toBeCloseTo(175 / 1450, 2)
  const model = { outerMm: 0, thicknessMm: 3, innerGrey: 400, cortexGrey: 1500, outsideGrey: 50, sigmaMm }
  let [low, high] = [0, 2]
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2
    if (plateGrey(model, middle) > 225) low = middle
    else high = middle
  }
  expect(Math.abs(low - 0.425)).toBeLessThan(5e-4)
})

describe('how well an edge of 1450 grey can be placed at noise 100, s 0.25, h 0.2', () => {
  const [noise, contrast, s, h] = [100, 1450, 0.25, 0.2]

  test('one line of samples: (n / A) sqrt(2 sqrt(pi) s h) = 0.029035 mm, by the slope of the model itself', () => {
    let information = 0
    const e = 1e-4
    const edge = {
      outerMm: 0,
      thicknessMm: 9,
      innerGrey: 1500,
      cortexGrey: 1500,
      outsideGrey: 50,
      sigmaMm: s,
    }
    for (let x = -20 * h; x <= 20 * h + 1e-9; x += h) {
      const slope = (plateGrey(edge, x + e) - plateGrey(edge, x - e)) / (2 * e)
      information += (slope / noise) ** 2
    }
    expect(Math.abs(1 / Math.sqrt(information) - 0.029035)).toBeLessThan(1e-5)
    expect((noise / contrast) * Math.sqrt(2 * Math.sqrt(Math.PI) * s * h)).toBeCloseTo(0.029035, 6)
  })

  test('lines side by side in a disc of 0.5 mm: 0.006552 mm', () => {
    const perLine = h * h
    const area = Math.PI * 0.5 ** 2
    expect(0.029035 * Math.sqrt(perLine / area)).toBeCloseTo(0.006552, 5)
    // The height of the edge's slope in closed form is that of the normal density.
    expect((contrast * normalDensity(0)) / s).toBeCloseTo(2313.88, 1)
  })
})

test('trilinear sampling leaves (2/3)^3 of the variance of white noise', () => {
  const shape = [64, 64, 64] as const
  const noise = whiteNoise(shape, 100, 'trilinear')
  const volume = renderField(() => 0, cubicGrid(shape, 1, [0, 0, 0]), { type: 'float32', noise })
  const sample = createSampler(volume)
  const share = (n: number) => ((n * 0.6180339887498949) % 1) * 62.9
  let squares = 0
  const count = 200_000
  for (let n = 0; n < count; n++) squares += sample(share(n), share(n * 7.3 + 0.1), share(n * 3.7 + 0.4)) ** 2
  expect(Math.abs(squares / count / 100 ** 2 - 0.296296)).toBeLessThan(0.006)
})

test('a tenth of the contrast is left at 1.6 and 2.3 lines per mm by blurs of 0.213463 and 0.148496 mm', () => {
  for (const [perMm, sigmaMm] of [
    [1.6, 0.213463],
    [2.3, 0.148496],
  ])
    expect(Math.exp(-2 * (Math.PI * sigmaMm * perMm) ** 2)).toBeCloseTo(0.1, 5)
})
