import { expect, test } from 'vitest'
import { measureScene } from '../../../../tests/accuracy/ray-errors.js'
import { shellScene } from '../../../../tests/accuracy/scenes/shell.js'
import { summary } from '../../../../tests/accuracy/summary.js'

test('shell R 5, Ri 3.55, e 1.05 (plates 0.40 to 2.50), h 0.2 s 0.25 n 100: p95 0.025, bias 0.01, calibrated by itself', () => {
  const { errors, calibration } = measureScene(
    shellScene(
      {
        ...{ spacingMm: 0.2, sigmaMm: 0.25, noiseSd: 100, textureSd: 100 },
        plate: { outerMm: 5, innerMm: 3.55, eccentricityMm: 1.05 },
      },
      'regression',
    ),
  )
  const { rays, gross, bias, p95 } = summary(errors.refined.errorMm)
  expect(rays).toBe(384)
  expect(gross).toBe(0)
  expect(Math.abs(bias)).toBeLessThanOrEqual(0.01)
  expect(p95).toBeLessThanOrEqual(0.025)
  expect(Math.abs(calibration.psfSigmaMm - 0.25)).toBeLessThanOrEqual(0.0125)
  expect(Math.abs(calibration.cortexGrey - 1500)).toBeLessThanOrEqual(30)
  expect(Math.abs(calibration.softGrey - 50)).toBeLessThanOrEqual(5)
})
