import { createRandom } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { accessExit } from '../src/crown/index.js'
import {
  chartPivot,
  chartPlace,
  chartPose,
  chartSpec,
  DEFAULT_CHART_SPEC,
  tiltChartPose,
} from '../src/explore/index.js'
import { type Plan, placedCrown } from '../src/plan/index.js'
import {
  along,
  cross,
  distance,
  dot,
  fromFrame,
  length,
  normalize,
  perpendicularTo,
  toRows,
  type Vec3,
} from '../src/space/index.js'
import { uprightPlan } from './plan-fixture.js'
import { slabSite } from './tilt-chart-meter.js'

const radians = (deg: number) => (deg * Math.PI) / 180
const KINDS = ['tilt', 'depth', 'shift'] as const
const PIVOTS = ['platform', 'apex'] as const

/** Crowns and fixtures turned anyhow, of teeth with mesial on either side. */
function plans(): Plan[] {
  const random = createRandom('tilt chart poses')
  const within = (size: number) => size * (2 * random.uniform() - 1)
  const direction = (): Vec3 => normalize([within(1), within(1), within(1) + 0.1])
  return ['11', '21', '36', '46', '13', '24'].map((tooth) => {
    const z = direction()
    const x = perpendicularTo(direction(), z)
    const y = cross(z, x)
    const origin: Vec3 = [within(50), within(50), within(50)]
    const apical = along(along(z, x, within(0.4)), y, within(0.3))
    return uprightPlan({
      site: { tooth, facial: x, coronal: [-z[0], -z[1], -z[2]] },
      crown: { kind: 'tabulated', tooth, pose: toRows(fromFrame(x, y, z, origin)) },
      fixture: {
        shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 11 },
        platform: along(along(origin, z, 3), y, within(1)),
        // Any length will do.
        apical: [3 * apical[0], 3 * apical[1], 3 * apical[2]],
      },
    })
  })
}

/** On the axis as planned: the platform or the apex. */
const pivotOf = ({ fixture }: Plan, pivot: 'platform' | 'apex'): Vec3 =>
  pivot === 'platform' ? fixture.platform : along(fixture.platform, normalize(fixture.apical), 11)

describe.each(plans())('tooth $site.tooth', (plan) => {
  const crown = placedCrown(plan)
  const planned = normalize(plan.fixture.apical)

  test.each(KINDS.flatMap((kind) => PIVOTS.map((pivot) => [kind, pivot] as const)))(
    '%s about the %s: its own place is its own pose',
    (kind, pivot) => {
      const spec = chartSpec(kind, pivot)
      const { column, row } = chartPlace(plan, crown, spec)
      const pose = chartPose({ plan, crown, pivotMm: pivotOf(plan, pivot) }, spec, column, row)
      expect(distance(pose.apical, planned)).toBeLessThan(1e-12)
      expect(distance(pose.platform, plan.fixture.platform)).toBeLessThan(1e-12 * 100)
      expect(Math.abs(length(pose.apical) - 1)).toBeLessThan(1e-12)
    },
  )

  test('the tilts of a place are those of its access exit', () => {
    const spec = chartSpec('tilt', 'apex')
    const base = { plan, crown, pivotMm: pivotOf(plan, 'apex') }
    for (const [column, row] of [
      [-30, -15],
      [0, 0],
      [12, -7.5],
      [60, 60],
      [-1, 15],
    ]) {
      const fixture = chartPose(base, spec, column, row)
      const exit = accessExit({ ...crown, fixture, site: plan.site })
      expect(exit.tiltFacialDeg).toBeCloseTo(column, 9)
      expect(exit.tiltMesialDeg).toBeCloseTo(row, 9)
      const again = { ...plan, fixture: { ...plan.fixture, ...fixture } }
      const place = chartPlace(again, crown, spec)
      expect(place.column).toBeCloseTo(column, 9)
      expect(place.row).toBeCloseTo(row, 9)
      // Angles compose as tangents: 15 and 5 degrees make 15.74 in all.
      const all = Math.hypot(Math.tan(radians(column)), Math.tan(radians(row)))
      expect(exit.tiltDeg).toBeCloseTo((Math.atan(all) * 180) / Math.PI, 9)
    }
  })

  test.each(PIVOTS)('the %s stays where it is', (pivot) => {
    const spec = chartSpec('tilt', pivot)
    const pivotMm = pivotOf(plan, pivot)
    const base = { plan, crown, pivotMm }
    const depthMm = pivot === 'apex' ? 11 : 0
    for (let column = -30; column <= 30; column += 5)
      for (let row = -15; row <= 15; row += 5) {
        const { platform, apical } = chartPose(base, spec, column, row)
        expect(distance(along(platform, apical, depthMm), pivotMm)).toBeLessThan(1e-12 * 100)
      }
  })

  test('depths go along the axis as planned, shifts along the facial direction of the crown', () => {
    const pivotMm = plan.fixture.platform
    const mesial = chartPlace(plan, crown, DEFAULT_CHART_SPEC).row
    for (const kind of ['depth', 'shift'] as const) {
      const spec = chartSpec(kind)
      const still = chartPose({ plan, crown, pivotMm }, spec, 8, 0)
      const moved = chartPose({ plan, crown, pivotMm }, spec, 8, 2.5)
      const direction = kind === 'depth' ? planned : plan.site.facial
      expect(distance(moved.platform, along(still.platform, direction, 2.5))).toBeLessThan(1e-9)
      expect(moved.apical).toEqual(still.apical)
      // The mesial tilt is that of the plan.
      const exit = accessExit({ ...crown, fixture: moved, site: plan.site })
      expect(exit.tiltMesialDeg).toBeCloseTo(mesial, 9)
    }
  })
})

test('a fixture upside down has its place beyond the chart, and no mesial tilt to keep', () => {
  const plan = uprightPlan()
  const down: Plan = { ...plan, fixture: { ...plan.fixture, apical: [0.2, 0.1, -1] } }
  const crown = placedCrown(down)
  const place = chartPlace(down, crown, DEFAULT_CHART_SPEC)
  expect(Math.abs(place.column)).toBeGreaterThan(90)
  const base = { plan: down, crown, pivotMm: down.fixture.platform }
  const { apical } = chartPose(base, DEFAULT_CHART_SPEC, place.column, place.row)
  expect(distance(apical, normalize(down.fixture.apical))).toBeLessThan(1e-12)
  expect(() => chartPose(base, chartSpec('depth'), 0, 0)).toThrow('upside down')
})

describe('pivots of a site', () => {
  const tilted: Partial<Plan> = {
    fixture: {
      shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
      platform: [0.3, -0.2, 0.4],
      apical: [0.1, 0.05, 1],
    },
  }
  const axis = normalize([0.1, 0.05, 1])
  const platform: Vec3 = [0.3, -0.2, 0.4]
  const ridge = (n: Vec3, at: number) =>
    slabSite(
      {
        faces: [
          { n, at },
          { n: [1, 0, 0], at: 6 },
          { n: [-1, 0, 0], at: 6 },
        ],
      },
      tilted,
    )
  /** A crest that slopes 20 degrees facially. */
  const crest = normalize([Math.sin(radians(20)), 0, -Math.cos(radians(20))])

  test('platform and apex are the ends of the fixture', () => {
    const site = ridge(crest, 0)
    expect(chartPivot(site, 'platform')).toEqual(platform)
    expect(distance(chartPivot(site, 'apex'), along(platform, axis, 10))).toBeLessThan(1e-12)
  })

  test.each([-1.7, 0, 1.2, 3, -6])('the crest is where the axis leaves an inclined plane at %s mm', (at) => {
    const depthMm = (at - dot(crest, platform)) / dot(crest, axis)
    const found = chartPivot(ridge(crest, at), 'crest')
    expect(distance(found, along(platform, axis, depthMm))).toBeLessThan(1e-5)
  })

  test('the crest stays put at every cell', () => {
    const site = ridge(crest, 1.2)
    const spec = chartSpec('tilt', 'crest')
    const pivot = chartPivot(site, 'crest')
    const depthMm = dot([pivot[0] - platform[0], pivot[1] - platform[1], pivot[2] - platform[2]], axis)
    for (let column = -30; column <= 30; column += 10)
      for (let row = -15; row <= 15; row += 5) {
        const pose = tiltChartPose(site, spec, column, row)
        expect(distance(along(pose.platform, pose.apical, depthMm), pivot)).toBeLessThan(1e-12)
      }
  })

  test('the platform where the axis is not in bone, or bone goes on above it', () => {
    const aside = slabSite({ faces: [{ n: [1, 0, 0], at: -4 }] }, tilted)
    expect(chartPivot(aside, 'crest')).toEqual(platform)
    const buried = slabSite({ faces: [{ n: [1, 0, 0], at: 6 }] }, tilted)
    expect(chartPivot(buried, 'crest')).toEqual(platform)
  })
})
