import { expect, test } from 'vitest'
import {
  boneModel,
  chartPose,
  chartSpec,
  type ExploredSite,
  exploredSite,
  exploredSiteSteps,
  type Plan,
  prepareBone,
  type TiltChart,
  tiltChartSteps,
} from '../src/index.js'
import { apicalFor, uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'

const volume = ridge()
const model = boneModel(volume)
const plan = uprightPlan()

test('the same fixture is measured as where it is asked, whatever was measured before', () => {
  const meter = exploredSite(model, plan).meter()
  const first = meter.bone(plan.fixture, true)
  meter.bone({ platform: [1, 0, 1], apical: apicalFor(8) }, true)
  expect(meter.bone(plan.fixture, true)).toEqual(first)
  // Outer faces at x = 4 and -6, a fixture of 4 mm at the origin: 2 mm facially and 4 mm palatally.
  expect(first.sectors.facial).toBeCloseTo(2, 1)
  expect(first.sectors.palatal).toBeCloseTo(4, 1)
  expect(first.nearestMm).toBeCloseTo(2, 1)
})

test('the length of the axis means nothing, the side it points to does', () => {
  const meter = exploredSite(model, plan).meter()
  expect(meter.bone({ platform: [0, 0, 0], apical: [0, 0, 7] })).toEqual(
    meter.bone({ platform: [0, 0, 0], apical: [0, 0, 1] }),
  )
  expect(meter.exit({ platform: [0, 0, 0], apical: [0, 0, -1] }).class).toBeNull()
})

test('a wider fixture has less bone by half of what it is wider', () => {
  const site = exploredSite(model, plan)
  const [narrow, wide] = [3, 5].map((diameterMm) =>
    site.meter({ kind: 'cylinder', diameterMm, lengthMm: 10 }).bone(plan.fixture),
  )
  expect((narrow?.radialMm ?? 0) - (wide?.radialMm ?? 0)).toBeCloseTo(1, 3)
})

test('the surface is kept while the crown stays where it is', () => {
  const here = exploredSite(model, plan)
  const moved: Plan = { ...plan, limits: { marginMm: 1.2 } }
  expect(exploredSite(model, moved).surface).toBe(here.surface)
})

test('clearance is that of what is known not to be bone; unknown without any', async () => {
  expect(exploredSite(model, plan).meter().clearanceMm(plan.fixture)).toBeNull()
  const root = { fromMm: [0, 6, -2], toMm: [0, 6, 9], radiusMm: 1.5 } as const
  const masked = await prepareBone(ridge(), { masks: [root] })
  const site = exploredSite(masked, plan)
  expect(site.meter().clearanceMm(plan.fixture)).toBeCloseTo(6 - 1.5 - 2, 1)
  const spec = chartSpec('tilt', 'platform', {
    columns: { from: -4, to: 4, count: 3 },
    rows: { from: -10, to: 10, count: 3 },
  })
  const chartOf = (of: ExploredSite): TiltChart => {
    const steps = tiltChartSteps(of, spec)
    for (;;) {
      const step = steps.next()
      if (step.done) return step.value
    }
  }
  const { clearanceMm, cautions } = chartOf(site)
  const unknown = /roots.* are not known here, and roots count as bone/
  expect(cautions[0]).not.toMatch(unknown)
  expect(chartOf(exploredSite(model, plan)).cautions[0]).toMatch(unknown)
  // +y is mesial in the first quadrant: tilting the coronal end mesially carries the apex away from the root.
  expect(clearanceMm[1]).toBeLessThan(clearanceMm[4] ?? 0)
  expect(clearanceMm[4]).toBeCloseTo(2.5, 1)
})

test('a chart about the apex leaves the apex where it is', () => {
  const site = exploredSite(model, plan)
  const pose = chartPose({ plan, crown: site.crown, pivotMm: [0, 0, 10] }, chartSpec('tilt', 'apex'), 12, -5)
  const apex = pose.platform.map((v, a) => v + 10 * pose.apical[a])
  expect(Math.hypot(apex[0], apex[1], apex[2] - 10)).toBeLessThan(1e-12)
})

test('making a site ready can be stopped: it is done in steps', () => {
  const steps = exploredSiteSteps(boneModel(ridge(81)), plan)
  let count = 0
  for (let step = steps.next(); !step.done; step = steps.next()) {
    expect(step.value).toBeGreaterThanOrEqual(0)
    count++
  }
  expect(count).toBeGreaterThan(5)
})
