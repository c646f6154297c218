import {
  blurredBall,
  createRandom,
  cubicGrid,
  plateStack,
  renderField,
  whiteNoise,
} from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import {
  axisPoint,
  boneModel,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  normalize,
  radialDirection,
  surfaceGrid,
} from '../src/index.js'
import { exitFromCylinder, SHELL, shellScene } from './shell-scene.js'

const percentile95 = (errors: readonly number[]) => {
  const sorted = errors.map(Math.abs).sort((a, b) => a - b)
  return sorted[Math.floor(0.95 * sorted.length)]
}

describe('fastMargin on an eccentric shell, plates 0.35 to 2.6 mm, everything calibrated from the scan', () => {
  // Fast-mode figures of the method study: 95 % of rays within 0.028, 0.045 and 0.082 mm.
  for (const [spacingMm, sigmaMm, barMm] of [
    [0.2, 0.25, 0.028],
    [0.3, 0.25, 0.045],
    [0.4, 0.35, 0.082],
  ])
    test(`voxel ${spacingMm}, blur ${sigmaMm}, noise 100: 95 % of rays within ${barMm} mm`, () => {
      const errors: number[] = []
      for (const seed of ['a', 'b', 'c']) {
        const { volume, origin, axis } = shellScene({
          spacingMm,
          sigmaMm,
          noiseSd: 100,
          textureSd: 100,
          seed,
        })
        const model = boneModel(volume)
        expect(model.calibration.thickCortex).toBe(true)
        expect(Math.abs(model.calibration.psfSigmaMm / sigmaMm - 1)).toBeLessThan(0.05)
        expect(Math.abs(model.calibration.cortexGrey - 1500)).toBeLessThan(30)
        expect(Math.abs(model.calibration.softGrey - 50)).toBeLessThan(5)
        const apical = normalize([axis[0] + 0.12, axis[1] - 0.12, axis[2]])
        const frame = fixtureFrame({ platform: [0.6, 0.6, -3], apical }, [1, 0, 0])
        const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 6 })
        const grid = surfaceGrid(profile, 8, 48)
        const margin = fastMargin(model, frame, profile, grid)
        grid.depthsMm.forEach((depth, row) => {
          grid.anglesDeg.forEach((angle, column) => {
            const truth = exitFromCylinder(
              axisPoint(frame, depth),
              radialDirection(frame, angle),
              origin,
              axis,
              SHELL.outerMm,
            )
            errors.push(margin.radialMm[row * 48 + column] - (truth - 2))
          })
        })
      }
      expect(errors.every(Number.isFinite)).toBe(true)
      expect(percentile95(errors)).toBeLessThanOrEqual(barMm)
    })
})

/** A ridge: two plates of 2 mm cortex with marrow between, outer faces at x = -6 and x = 4. */
const ridge = (sigmaMm: number) =>
  renderField(
    plateStack({
      origin: [0, 0, 0],
      normal: [1, 0, 0],
      faces: [-6, -4, 2, 4],
      greys: [50, 1500, 400, 1500, 50],
      sigmaMm,
    }),
    cubicGrid([110, 90, 80], 0.2, [0.03, 0.05, 5.02]),
  )

test('taper 2 - 0.05 z beside a flat plate 4 mm from the axis leaves 2.00, 2.25 and 2.50 mm', () => {
  const model = boneModel(ridge(0.25))
  const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const profile = fixtureProfile({ kind: 'tapered', diameterMm: 4, apexDiameterMm: 3, lengthMm: 10 })
  const margin = fastMargin(model, frame, profile, surfaceGrid(profile, 41, 72))
  for (const [row, expected] of [
    [0, 2],
    [20, 2.25],
    [40, 2.5],
  ])
    expect(Math.abs(margin.radialMm[row * 72] - expected)).toBeLessThan(0.01)
})

test('beside a flat plate the radial margin is d / cos(phi) - r and the nearest is d - r', () => {
  // Published geometry: d 3.5, r 2: nearest 1.50; radial 1.50, 2.04, 2.95 and 5.00 at 0, 30, 45 and 60 deg.
  const model = boneModel(ridge(0.25))
  const frame = fixtureFrame({ platform: [0.5, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
  const margin = fastMargin(model, frame, profile, surfaceGrid(profile))
  for (const [deg, radial] of [
    [0, 1.5],
    [30, 2.0415],
    [45, 2.9497],
    [60, 5],
  ])
    expect(Math.abs(margin.radialMm[20 * 72 + deg / 5] - radial)).toBeLessThan(0.03)
  expect(Math.abs((margin.nearestMm ?? Number.NaN) - 1.5)).toBeLessThan(0.02)
  expect(margin.dehiscenceMm).toBe(0)
})

test('a fixture through the plate is exposed by r - d, nearest and radial negative', () => {
  const model = boneModel(ridge(0.25))
  const frame = fixtureFrame({ platform: [2.6, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
  const margin = fastMargin(model, frame, profile, surfaceGrid(profile))
  expect(Math.abs((margin.minimum?.radialMm ?? 0) + 0.6)).toBeLessThan(0.02)
  expect(Math.abs((margin.nearestMm ?? 0) + 0.6)).toBeLessThan(0.02)
  expect(margin.dehiscenceMm).toBe(10)
  expect(margin.fenestrationMm2).toBe(0)
})

test('adding a constant grey to every voxel changes nothing', () => {
  const base = ridge(0.25)
  const frame = fixtureFrame({ platform: [0.5, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
  const grid = surfaceGrid(profile, 11, 24)
  const before = fastMargin(boneModel(base), frame, profile, grid).radialMm
  const shifted = { ...base, data: Int16Array.from(base.data, (v) => v + 700) }
  const after = fastMargin(boneModel(shifted), frame, profile, grid).radialMm
  for (let n = 0; n < before.length; n++)
    if (Number.isFinite(before[n])) expect(Math.abs(after[n] - before[n])).toBeLessThan(1e-3)
})

for (const [gumMm, thickCortex] of [
  [1, false],
  [1.5, true],
] as const)
  test(`gum of ${gumMm} mm everywhere and then air: the margin ends at bone${thickCortex ? '' : ', less surely, and the scan says so'}`, () => {
    const faces = [-6 - gumMm, -6, -4, 3.5, 4, 4 + gumMm]
    const greys = [-1000, 50, 1500, 400, 1500, 50, -1000]
    const field = plateStack({ origin: [0, 0, 0], normal: [1, 0, 0], faces, greys, sigmaMm: 0.25 })
    const grid = cubicGrid([110, 90, 80], 0.2, [0.03, 0.05, 5.02])
    const model = boneModel(renderField(field, grid, { noise: whiteNoise([110, 90, 80], 100, 'gum') }))
    expect(model.calibration.thickCortex).toBe(thickCortex)
    if (thickCortex) expect(Math.abs(model.calibration.softGrey - 50)).toBeLessThan(20)
    const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
    const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
    const margin = fastMargin(model, frame, profile, surfaceGrid(profile))
    const facial = margin.grid.depthsMm.map((_, row) => margin.radialMm[row * 72] - 2)
    const mean = facial.reduce((a, b) => a + b, 0) / facial.length
    expect(Math.abs(mean)).toBeLessThan(thickCortex ? 0.05 : margin.uncertaintyMm)
  })

test('marrow voids of 1 to 3.5 mm never pass for the outside of bone', () => {
  const random = createRandom('voids')
  const voids = Array.from({ length: 40 }, () => ({
    radius: 0.5 + 1.25 * random.uniform(),
    centre: [-3 + 4 * random.uniform(), -6 + 12 * random.uniform(), -1 + 12 * random.uniform()],
  })).map((hole) => ({ ...hole, radius: Math.min(hole.radius, hole.centre[0] + 3.8, 1.8 - hole.centre[0]) }))
  const solid = plateStack({
    origin: [0, 0, 0],
    normal: [1, 0, 0],
    faces: [-6, -4, 2, 4],
    greys: [50, 1500, 400, 1500, 50],
    sigmaMm: 0.3,
  })
  const field = (x: number, y: number, z: number) => {
    // Voids hold -50, less than soft tissue; where they overlap the deepest counts.
    const share = voids.reduce(
      (most, { radius, centre }) =>
        Math.max(most, blurredBall(Math.hypot(x - centre[0], y - centre[1], z - centre[2]), radius, 0.3)),
      0,
    )
    return solid(x, y, z) - 450 * share
  }
  const grid = cubicGrid([110, 90, 80], 0.2, [0.03, 0.05, 5.02])
  const model = boneModel(renderField(field, grid, { noise: whiteNoise([110, 90, 80], 100, 'voids') }))
  const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 2, lengthMm: 10 })
  const margin = fastMargin(model, frame, profile, surfaceGrid(profile))
  let rays = 0
  margin.grid.depthsMm.forEach((_, row) => {
    margin.grid.anglesDeg.forEach((angle, column) => {
      const cosine = Math.cos((angle * Math.PI) / 180)
      if (Math.abs(cosine) < 0.8) return
      const truth = (cosine > 0 ? 4 : 6) / Math.abs(cosine) - 1
      expect(Math.abs(margin.radialMm[row * 72 + column] - truth)).toBeLessThan(0.5)
      rays++
    })
  })
  expect(rays).toBeGreaterThan(800)
})
