import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { createRandom, cubicGrid, renderField, upperFront } from '@alveometer/phantom'
import { beforeAll, describe, expect, test } from 'vitest'
import { assess } from '../src/assess/index.js'
import { boneModel } from '../src/bone/index.js'
import {
  chartSpec,
  DEFAULT_CHART_SPEC,
  type ExploredSite,
  exploredSite,
  type TiltChart,
  type TiltChartSpec,
  tiltChartPose,
  tiltChartSteps,
} from '../src/explore/index.js'
import { type Plan, readPlan } from '../src/plan/index.js'
import type { Volume } from '../src/volume/index.js'
import { uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'

const radians = (deg: number) => (deg * Math.PI) / 180

function run(site: ExploredSite, spec: TiltChartSpec): TiltChart {
  const steps = tiltChartSteps(site, spec)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

const sampleFile = (name: string) =>
  readFileSync(join(import.meta.dirname, '../../../sample-volumes/upper-front', name), 'utf8')

describe('the sample scan: what a chart says of a cell is what an assessment says of its pose', () => {
  let volume: Volume
  beforeAll(() => {
    volume = upperFront().volume
  }, 120_000)

  test.each([
    ['opening', 'tilt', 'platform', 120],
    ['upright', 'depth', 'crest', 40],
    ['leaning', 'shift', 'apex', 40],
  ] as const)(
    'plan %s, %s about the %s',
    (name, kind, pivot, cells) => {
      const plan = readPlan(sampleFile(`plan-${name}.json`))
      const site = exploredSite(boneModel(volume), plan)
      const spec = chartSpec(kind, pivot)
      const chart = run(site, spec)
      const random = createRandom(`tilt chart cells ${name}`)
      for (let n = 0; n < cells; n++) {
        const cell = Math.floor(random.uniform() * chart.radialMm.length)
        const column = chart.columns[cell % chart.columns.length]
        const row = chart.rows[Math.floor(cell / chart.columns.length)]
        const pose = tiltChartPose(site, spec, column, row)
        const posed: Plan = { ...plan, fixture: { ...plan.fixture, ...pose } }
        expectSame(chart, cell, posed)
      }

      function expectSame(chart: TiltChart, cell: number, posed: Plan): void {
        const { margin, exit, angled, graftNeeded } = assess(volume, posed, {
          mode: 'surface',
          surface: site.surface,
        })
        expectNumber(chart.radialMm[cell], margin.minimum?.radialMm, 1e-6)
        expectNumber(chart.nearestMm[cell], margin.minimum?.nearestMm, 1e-6)
        const reserves = Object.entries(margin.sectors).flatMap(([sector, { minimumMm }]) =>
          minimumMm === null
            ? []
            : [minimumMm - site.limits(sector === 'facial' ? 'facialMarginMm' : 'marginMm').value],
        )
        if (margin.minimum) reserves.push(margin.minimum.nearestMm - site.limits('marginMm').value)
        expectNumber(chart.reserveMm[cell], Math.min(...reserves), 1e-6)
        expect(chart.exit[cell]).toBe(exit.class)
        expectNumber(chart.offsetMm[cell], exit.offsetMm, 1e-9)
        expectNumber(chart.correctionDeg[cell], angled.least?.correctionDeg, 0.03)
        const graftMm3 = graftNeeded?.volumeMm3 ?? 0
        expectNumber(chart.graftMm3[cell], graftMm3, Math.max(0.3, 0.01 * graftMm3))
      }
    },
    240_000,
  )
})

function expectNumber(found: number | null, expected: number | null | undefined, within: number): void {
  if (expected === null || expected === undefined || found === null) expect(found).toBe(expected ?? null)
  else expect(Math.abs(found - expected)).toBeLessThanOrEqual(within)
}

test('two plane plates through the voxels: every margin within 0.05 mm of the closed form', () => {
  const plan = uprightPlan()
  const [radiusMm, lengthMm, platformX, facialX, oralX] = [2, 10, -1, 4, -6]
  const site = exploredSite(boneModel(ridge(100)), {
    ...plan,
    fixture: { ...plan.fixture, platform: [platformX, 0, 0] },
  })
  const chart = run(site, {
    ...DEFAULT_CHART_SPEC,
    columns: { from: -18, to: 18, count: 19 },
    rows: { from: -12, to: 12, count: 7 },
  })
  for (const [cell, radialMm] of chart.radialMm.entries()) {
    const f = Math.tan(radians(chart.columns[cell % 19]))
    const m = Math.tan(radians(chart.rows[Math.floor(cell / 19)]))
    // The axis comes nearest to a plane with one of its ends; see the closed forms of plane, tilted axis and radius.
    const sine = -f / Math.sqrt(1 + f * f + m * m)
    const cosine = Math.sqrt(1 - sine * sine)
    const ends = [platformX, platformX + lengthMm * sine]
    const nearest = Math.min(facialX - Math.max(...ends), Math.min(...ends) - oralX)
    expect(Math.abs((radialMm ?? Number.NaN) - (nearest / cosine - radiusMm))).toBeLessThan(0.05)
    expect(Math.abs((chart.nearestMm[cell] ?? Number.NaN) - (nearest - radiusMm * cosine))).toBeLessThan(0.05)
  }
})

test('a curved ridge alike mesially and distally has a chart alike', () => {
  const site = exploredSite(boneModel(curvedRidge()), uprightPlan())
  const chart = run(site, {
    ...DEFAULT_CHART_SPEC,
    columns: { from: -20, to: 20, count: 11 },
    rows: { from: -12, to: 12, count: 9 },
  })
  const mirror = (cell: number) => (8 - Math.floor(cell / 11)) * 11 + (cell % 11)
  for (const field of [chart.radialMm, chart.nearestMm, chart.reserveMm])
    for (const [cell, value] of field.entries())
      expect(Math.abs((value ?? Number.NaN) - (field[mirror(cell)] ?? Number.NaN))).toBeLessThan(0.03)
  for (const [cell, mm3] of chart.graftMm3.entries())
    expect(Math.abs((mm3 ?? Number.NaN) - (chart.graftMm3[mirror(cell)] ?? Number.NaN))).toBeLessThan(
      1 + 0.02 * (mm3 ?? 0),
    )
})

/** Cortical plates of 1.5 mm over marrow, bent like an arch; crest at z = -2, voxels not mirrored. */
function curvedRidge(): Volume {
  const share = (mm: number) => 1 / (1 + Math.exp(-mm / 0.14))
  const field = (x: number, y: number, z: number) => {
    const facial = (5 - 0.05 * y * y - x) / Math.hypot(1, 0.1 * y)
    const oral = (x + 5 - 0.02 * y * y) / Math.hypot(1, 0.04 * y)
    const inside = Math.min(facial, oral, z + 2)
    return 50 + 1450 * share(inside) - 1100 * share(inside - 1.5)
  }
  return renderField(field, cubicGrid([110, 110, 100], 0.2, [0.03, 0.05, 5.02]))
}
