import { describe, expect, test } from 'vitest'
import {
  axisPoint,
  boneModel,
  coreSamples,
  densityStatistics,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  normalize,
  radialDirection,
  shellSamples,
  surfaceGrid,
  toIndex,
  type Vec3,
  type Volume,
} from '../src/index.js'
import { exitFromCylinder, SHELL, type ShellScene, shellScene } from './shell-scene.js'
import { withSlicesMissing } from './with-slices-missing.js'

const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 6 })
const grid = surfaceGrid(profile)
const columns = grid.anglesDeg.length

/** A fixture a little aslant in the shell, from 5 mm below its middle to 1 mm above. */
const frameIn = ({ axis }: ShellScene) =>
  fixtureFrame(
    { platform: [0.6, 0.6, -5], apical: normalize([axis[0] + 0.12, axis[1] - 0.12, axis[2]]) },
    [1, 0, 0],
  )

function measured(scene: ShellScene, volume: Volume) {
  const model = boneModel(volume)
  const frame = frameIn(scene)
  const margin = fastMargin(model, frame, profile, grid)
  const rays = margin.states.map((state, n) => {
    const start = axisPoint(frame, grid.depthsMm[Math.floor(n / columns)])
    const direction = radialDirection(frame, grid.anglesDeg[n % columns])
    const truthMm = exitFromCylinder(start, direction, scene.origin, scene.axis, SHELL.outerMm)
    const end: Vec3 = [0, 1, 2].map((a) => start[a] + truthMm * direction[a]) as unknown as Vec3
    return { state, errorMm: margin.radialMm[n] + 2 - truthMm, start, end }
  })
  return { model, frame, margin, rays }
}

const percentile95 = (values: readonly number[]) =>
  values.map(Math.abs).sort((a, b) => a - b)[Math.floor(0.95 * values.length)]

for (const [spacingMm, sigmaMm] of [
  [0.2, 0.25],
  [0.4, 0.35],
] as const) {
  const scene = shellScene({ spacingMm, sigmaMm, noiseSd: 100, textureSd: 100, seed: 'a' })
  const whole = measured(scene, scene.volume)
  const middle = Math.round(toIndex(scene.volume.worldToIndex, [0, 0, -2])[2])

  for (const count of [1, 3])
    describe(`${count} slices missing through the fixture, voxels ${spacingMm} mm`, () => {
      const planes = Array.from({ length: count }, (_, n) => middle + n)
      const volume = withSlicesMissing(scene.volume, planes)
      const { model, frame, margin, rays } = measured(scene, volume)

      test('rays that reach them have no number, the others have one as good as ever', () => {
        for (const { state, start, end } of rays) {
          const depths = [start, end].map((p) => toIndex(volume.worldToIndex, p)[2])
          const crosses = Math.max(...depths) > middle - 0.5 && Math.min(...depths) < middle + count - 0.5
          if (crosses) expect(state).toBe('no-data')
          expect(state).toMatch(/^(bone|no-data)$/)
        }
        const missing = rays.filter(({ state }) => state === 'no-data').length
        expect(missing).toBeGreaterThan(300)
        expect(missing).toBeLessThan(1500)
        const left = rays.flatMap(({ state }, n) => (state === 'bone' ? [n] : []))
        const errors = left.map((n) => rays[n].errorMm)
        const before = left.map((n) => whole.rays[n].errorMm)
        expect(percentile95(errors)).toBeLessThan(1.1 * percentile95(before))
        expect(Math.max(...errors.map(Math.abs))).toBeLessThan(1.3 * Math.max(...before.map(Math.abs)))
      })

      test('they are neither outside of bone nor bone', () => {
        expect(margin.dehiscenceMm).toBe(0)
        expect(margin.fenestrationMm2).toBe(0)
        expect(margin.exposureOpen).toBe(false)
        const samples = shellSamples(model, frame, profile)
        expect(samples.noDataShare).toBeGreaterThan(((count + 1) * spacingMm) / 6 - 0.07)
        expect(samples.noDataShare).toBeLessThan(((count + 1) * spacingMm) / 6 + 0.07)
        expect(densityStatistics(samples)?.boneShare).toBe(1)
        const core = densityStatistics(coreSamples(model, frame, profile))
        expect(core?.samples).toBe(Math.round(5760 * (1 - coreSamples(model, frame, profile).noDataShare)))
        expect(core?.p5).toBeGreaterThan(0)
      })

      test('the least margin and the nearest are of the measured rays', () => {
        const numbers = margin.radialMm.filter((r) => !Number.isNaN(r))
        expect(margin.minimum?.radialMm).toBe(Math.min(...numbers))
        expect(margin.nearestMm).toBeLessThan(Math.min(...numbers) + 1e-9)
        expect(margin.nearestMm).toBeGreaterThan(Math.min(...numbers) - 0.1)
      })

      test('the calibration is that of the whole scan', () => {
        const { calibration } = model
        expect(calibration.thickCortex).toBe(true)
        expect(Math.abs(calibration.psfSigmaMm / sigmaMm - 1)).toBeLessThan(0.05)
        expect(Math.abs(calibration.cortexGrey - 1500)).toBeLessThan(30)
        expect(Math.abs(calibration.softGrey - 50)).toBeLessThan(5)
      })
    })

  test(`a slice missing 5 mm from the fixture, voxels ${spacingMm} mm: every ray as without it`, () => {
    const plane = Math.round(toIndex(scene.volume.worldToIndex, [0, 0, 6])[2])
    const { rays, margin, model, frame } = measured(scene, withSlicesMissing(scene.volume, [plane]))
    expect(rays.every(({ state }) => state === 'bone')).toBe(true)
    rays.forEach(({ errorMm }, n) => {
      expect(Math.abs(errorMm - whole.rays[n].errorMm)).toBeLessThan(0.01)
    })
    expect(Math.abs((margin.nearestMm ?? 0) - (whole.margin.nearestMm ?? 0))).toBeLessThan(0.01)
    expect(shellSamples(model, frame, profile).noDataShare).toBe(0)
  })

  test(`slices missing along the fixture, voxels ${spacingMm} mm: no ray reads across them`, () => {
    const plane = Math.round(toIndex(scene.volume.worldToIndex, [3.4, 0, 0])[0])
    const volume = withSlicesMissing(scene.volume, [plane], 0)
    const { rays, margin } = measured(scene, volume)
    // Beside the gap too little soft tissue is left to tell it from bone; a millimetre off there is enough.
    for (const { state, start, end } of rays) {
      const [from, to] = [start, end].map((p) => toIndex(volume.worldToIndex, p)[0])
      if (from < plane - 0.5 && to > plane - 0.5) expect(state).toBe('no-data')
      if (Math.max(from, to) < plane - 1 / spacingMm) expect(state).toBe('bone')
    }
    expect(margin.dehiscenceMm).toBe(0)
  })
}
