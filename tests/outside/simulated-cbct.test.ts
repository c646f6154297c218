import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type BoneModel, boneModel, readPlan } from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { beforeAll, expect, test } from 'vitest'
import { compareMargins, type FixtureTruth } from '../margin-truth.js'
import { describeWithData } from '../shared-data.js'

// Physically simulated scans with exact answers. A plain half-height reading there has a median of 0.01 to 0.02 mm and
// an SD of 0.05 to 0.06 mm (SOURCE.md beside the data). The fast march is coarser where soft tissue is uneven, as in
// the upper front (44 to 163 grey): bars from the fast mode's own figures for such scenes, soft +50 -> +0.06 mm.
for (const [name, cortexGrey, psfSigmaMm, medianBar, p95Bar] of [
  ['upper-front', 2037, 0.193, 0.1, 0.3],
  ['lower-molar', 1849, 0.201, 0.03, 0.2],
] as const)
  describeWithData(`simulated cone-beam scan: ${name}`, `simulated-cbct/${name}`, (folder) => {
    let model: BoneModel
    beforeAll(async () => {
      const { volume } = await loadScan(await inputsFromPath(join(folder, `${name}.zip`)))
      model = boneModel(volume)
    }, 120_000)

    test('the scan calibrates itself: cortical level within 3 %, blur within 5 % of the measured ones', () => {
      const { calibration } = model
      expect(calibration.thickCortex).toBe(true)
      expect(Math.abs(calibration.cortexGrey / cortexGrey - 1)).toBeLessThan(0.03)
      expect(Math.abs(calibration.psfSigmaMm / psfSigmaMm - 1)).toBeLessThan(0.05)
    })

    const truth: { fixtures: (FixtureTruth & { name: string; plan: string })[] } = JSON.parse(
      readFileSync(join(folder, 'truth.json'), 'utf8'),
    )
    for (const fixture of truth.fixtures)
      test(`${fixture.name}: margins agree with the anatomy`, () => {
        const plan = readPlan(readFileSync(join(folder, fixture.plan), 'utf8'))
        const found = compareMargins(model, plan, fixture)
        expect(found.rays).toBeGreaterThan(700)
        expect(found.lost / (found.rays + found.lost)).toBeLessThan(0.02)
        expect(Math.abs(found.medianMm)).toBeLessThan(medianBar)
        expect(found.p95Mm).toBeLessThan(p95Bar)
        expect(Math.abs(found.leastMm - fixture.minimum.marginMm)).toBeLessThan(found.uncertaintyMm)
      })
  })
