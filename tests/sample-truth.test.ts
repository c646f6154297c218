import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type BoneModel, boneModel, readPlan } from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { beforeAll, describe, expect, test } from 'vitest'
import { ensureSample, sampleFolder } from '../scripts/sample.mjs'
import { compareMargins, type FixtureTruth } from './margin-truth.js'

// The sample's answers come from its analytic anatomy, never from its voxels.
describe('the shipped sample through loader and margin', () => {
  let model: BoneModel
  let truth: { fixtures: (FixtureTruth & { name: string })[] }
  beforeAll(async () => {
    await ensureSample()
    truth = JSON.parse(readFileSync(join(sampleFolder, 'truth.json'), 'utf8'))
    const { volume, report } = await loadScan(await inputsFromPath(join(sampleFolder, 'upper-front.zip')))
    expect(report.map(({ code }) => code)).toEqual(['padding'])
    model = boneModel(volume)
  }, 240_000)

  test('the plans belong to the scan', () => {
    for (const { name } of truth.fixtures) {
      const { scan } = readPlan(readFileSync(join(sampleFolder, `plan-${name}.json`), 'utf8'))
      expect(scan).toEqual(model.volume.identity)
    }
  })

  test('the scan calibrates itself to what the scene was made with: blur 0.19 mm, noise 55', () => {
    expect(Math.abs(model.calibration.psfSigmaMm / 0.19 - 1)).toBeLessThan(0.05)
    expect(Math.abs(model.calibration.noiseSd / 55 - 1)).toBeLessThan(0.05)
  })

  for (const name of ['opening', 'leaning', 'upright'])
    test(`${name}: median within 0.05 mm, 95 % within 0.2 mm, least margin within its interval`, () => {
      const fixture = truth.fixtures.find((f) => f.name === name)
      if (fixture === undefined) throw new Error(`no truth for ${name}`)
      const plan = readPlan(readFileSync(join(sampleFolder, `plan-${name}.json`), 'utf8'))
      const found = compareMargins(model, plan, fixture)
      expect(found.rays).toBeGreaterThan(700)
      expect(found.lost / found.rays).toBeLessThan(0.02)
      expect(Math.abs(found.medianMm)).toBeLessThan(0.05)
      expect(found.p95Mm).toBeLessThan(0.2)
      expect(Math.abs(found.leastMm - fixture.minimum.marginMm)).toBeLessThan(found.uncertaintyMm)
    })
})
