import { beforeAll, expect, test } from 'vitest'
import { type SimulatedPlan, type SimulatedRay, simulatedStudy } from '../accuracy/studies/simulated.js'
import { summary } from '../accuracy/summary.js'
import { describeWithData } from '../shared-data.js'

const PLANS = ['inside', 'thin-facial-plate', 'through-facial-plate']
const errors = (rays: readonly SimulatedRay[]) => rays.map((ray) => ray.errorMm)

// Physically simulated scans with exact answers. A plain half-height reading there has a median of 0.01 to 0.02 mm and
// an SD of 0.05 to 0.06 mm (SOURCE.md beside the data). The fast march is coarser where soft tissue is uneven, as in
// the upper front (44 to 163 grey): bars from the fast mode's own figures for such scenes, soft +50 -> +0.06 mm. The
// refined one must do as well there as elsewhere, but for the 1.5 mm beside a root: no scan shows where it ends.
for (const [name, cortexGrey, psfSigmaMm, fastMedianMm, fastP95Mm] of [
  ['upper-front', 2037, 0.193, 0.1, 0.3],
  ['lower-molar', 1849, 0.201, 0.03, 0.2],
] as const)
  describeWithData(`simulated cone-beam scan: ${name}`, `simulated-cbct/${name}`, () => {
    let result: NonNullable<Awaited<ReturnType<typeof simulatedStudy.measure>>>
    beforeAll(async () => {
      const measured = await simulatedStudy.measure({ name }, '')
      if (measured === null) throw new Error(`simulated-cbct/${name} is not here`)
      result = measured
    }, 120_000)
    const planOf = (plan: string): SimulatedPlan => {
      const found = result.plans.find((it) => it.plan === plan)
      if (found === undefined) throw new Error(`no answers for ${plan}`)
      return found
    }

    test('the scan calibrates itself: cortical level within 3 %, blur within 5 % of the measured ones', () => {
      const { calibration } = result
      expect(calibration.thickCortex).toBe(true)
      expect(Math.abs(calibration.cortexGrey / cortexGrey - 1)).toBeLessThan(0.03)
      expect(Math.abs(calibration.psfSigmaMm / psfSigmaMm - 1)).toBeLessThan(0.05)
    })

    test.each(PLANS)('%s: fast margins agree with the anatomy', (plan) => {
      const { rays, least } = planOf(plan)
      const fast = summary(errors(rays.fast))
      expect(fast.rays).toBeGreaterThan(700)
      expect(fast.lost / fast.rays).toBeLessThan(0.02)
      expect(Math.abs(fast.median)).toBeLessThan(fastMedianMm)
      expect(fast.p95).toBeLessThan(fastP95Mm)
      expect(Math.abs(least.fast.errorMm)).toBeLessThan(least.fast.shownMm)
    })

    test.each(PLANS)(
      '%s: refined margins do so within 0.1 mm on 95 %% of the rays away from teeth',
      (plan) => {
        const { rays, least } = planOf(plan)
        const away = summary(errors(rays.refined.filter((ray) => !ray.nearTooth)))
        expect(away.rays).toBeGreaterThan(600)
        expect(away.lost / away.rays).toBeLessThan(0.02)
        expect(Math.abs(away.median)).toBeLessThan(0.02)
        expect(away.p95).toBeLessThanOrEqual(0.1)
        expect(Math.abs(least.refined.errorMm)).toBeLessThan(least.refined.shownMm)
      },
    )
  })
