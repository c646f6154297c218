import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { boneModel, type Volume } from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { expect, test } from 'vitest'
import { coarseField } from '../../packages/core/src/bone/coarse.js'
import { fitPlate, PLATE_PARAMETERS, type PlatePrior } from '../../packages/core/src/bone/edge-fit.js'
import { tissueLevels } from '../../packages/core/src/bone/levels.js'
import { fitProfile } from '../../packages/core/src/bone/plate-profile.js'
import { surfaceSites } from '../../packages/core/src/bone/surface-sites.js'
import { shellScene } from '../../packages/core/test/shell-scene.js'
import { describeWithPython, type RunPython, runWithArrays } from '../outside-python.js'
import { describeWithData } from '../shared-data.js'

/** A profile with all that its fit is told. */
interface Case {
  readonly positionsMm: Float64Array
  readonly greys: Float64Array
  readonly weights: Float64Array
  readonly noiseSd: number
  readonly prior: PlatePrior
}

/** Profiles across the outer surface at places spread over a scan, with the weights and beliefs of the measurement. */
function cases(volume: Volume, count: number): Case[] {
  const { calibration } = boneModel(volume)
  const [hx, hy, hz] = volume.spacingMm
  const setting = {
    softGrey: calibration.softGrey,
    cortexGrey: calibration.cortexGrey,
    sigmaMm: Math.hypot(calibration.psfSigmaMm, Math.cbrt(hx * hy * hz) / Math.sqrt(6)),
    noiseSd: Math.sqrt(calibration.profileNoise.covariance[0]),
  }
  const field = coarseField(volume, 0.3, 0.3)
  const found = surfaceSites(volume, field, tissueLevels(field)).flatMap(({ profile }) => {
    const fitted = fitProfile(profile, setting, { starts: [0.3, 1.2, 3] })
    return fitted === null ? [] : [{ ...profile, ...fitted, noiseSd: setting.noiseSd }]
  })
  return Array.from({ length: count }, (_, n) => found[Math.floor((n * found.length) / count)])
}

/** As when a scan is calibrated: every sample counts, the blur is free too, nothing else is known well. */
const loosely = (given: Case): Case => ({
  ...given,
  weights: given.weights.map(() => 1),
  prior: {
    ...given.prior,
    cortexGrey: { value: given.prior.cortexGrey.value, sd: 300 },
    sigmaMm: { value: given.prior.sigmaMm.value, sd: 0.25 * given.prior.sigmaMm.value },
  },
})

const script = readFileSync(join(import.meta.dirname, 'plate-fit.py'), 'utf8')

/** What SciPy makes of each case: the six parameters and the cost. */
function scipyFits(run: RunPython, all: readonly Case[]): readonly Float64Array[] {
  const samples = Math.max(...all.map((given) => given.greys.length))
  // What a shorter profile lacks has weight 0.
  const rows = (of: 'positionsMm' | 'greys' | 'weights') => {
    const table = new Float64Array(all.length * samples)
    for (const [n, given] of all.entries()) table.set(given[of], n * samples)
    return table
  }
  const priors = all.flatMap(({ prior }) =>
    PLATE_PARAMETERS.flatMap((name) => [prior[name].value, prior[name].sd]),
  )
  const arrays = {
    positions: rows('positionsMm'),
    greys: rows('greys'),
    weights: rows('weights'),
    noise: Float64Array.from(all, (given) => given.noiseSd),
    priors: Float64Array.from(priors),
  }
  const { fits } = runWithArrays(run, script, arrays, ['fits'])
  return all.map((_, n) => fits.subarray(7 * n, 7 * n + 7))
}

/** What one standard deviation of one parameter costs. */
const NOTICEABLE_COST = 0.5

/** Cases where our face is not SciPy's, or SciPy found a noticeably better plate. */
function misses(run: RunPython, all: readonly Case[]): string[] {
  const fits = scipyFits(run, all)
  return all.flatMap(({ positionsMm, greys, weights, noiseSd, prior }, n) => {
    const ours = fitPlate(positionsMm, greys, weights, noiseSd, prior)
    const [outerMm, thicknessMm, , , , , cost] = fits[n]
    if (Math.abs(ours.outerMm - outerMm) < 0.005 && ours.cost < cost + NOTICEABLE_COST) return []
    const words = (face: number, plate: number, cost: number) =>
      `face ${face.toFixed(4)}, plate ${plate.toFixed(3)}, cost ${cost.toFixed(3)}`
    return [
      `profile ${n}: ${words(ours.outerMm, ours.thicknessMm, ours.cost)}; scipy: ${words(outerMm, thicknessMm, cost)}`,
    ]
  })
}

describeWithPython('fitPlate against scipy.optimize.least_squares', ['numpy', 'scipy'], (run) => {
  test('80 profiles of an eccentric shell, as measured and as calibrated', () => {
    const { volume } = shellScene({ spacingMm: 0.2, sigmaMm: 0.25, noiseSd: 100, textureSd: 100, seed: 'a' })
    const all = cases(volume, 80)
    expect(misses(run, all)).toEqual([])
    expect(misses(run, all.map(loosely))).toEqual([])
  })

  for (const name of ['upper-front', 'lower-molar'])
    describeWithData(`simulated cone-beam scan: ${name}`, `simulated-cbct/${name}`, (folder) => {
      test('60 profiles, teeth and cavities among them', async () => {
        const { volume } = await loadScan(await inputsFromPath(join(folder, `${name}.zip`)))
        expect(misses(run, cases(volume, 60))).toEqual([])
      })
    })
})
