import { beforeAll, describe, expect, test } from 'vitest'
import {
  type ChartField,
  chartSpec,
  DEFAULT_CHART_SPEC,
  type TiltChart,
  type TiltChartSpec,
  tiltChart,
  tiltChartSteps,
} from '../src/explore/index.js'
import { type SlabScene, slabSite } from './tilt-chart-meter.js'

const radians = (deg: number) => (deg * Math.PI) / 180
const RADIUS_MM = 2
const LENGTH_MM = 10

/** Plane faces so far from the edge line that the axis stays in bone at every tilt: the apex sways by 5 mm. */
const FACIAL_MM = 6
const ORAL_MM = 7
const plate: SlabScene = {
  faces: [
    { n: [1, 0, 0], at: FACIAL_MM },
    { n: [-1, 0, 0], at: ORAL_MM },
  ],
  wallMm: 7,
}
const site = slabSite(plate)

function run(spec?: TiltChartSpec): TiltChart {
  const steps = tiltChartSteps(site, spec)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/** A field against a function of column and row: the greatest difference. */
function off(chart: TiltChart, field: ChartField, expected: (column: number, row: number) => number): number {
  return Math.max(
    ...field.map((value, cell) => {
      const column = chart.columns[cell % chart.columns.length]
      const row = chart.rows[Math.floor(cell / chart.columns.length)]
      return Math.abs((value ?? Number.NaN) - expected(column, row))
    }),
  )
}

/**
 * Closed forms for a cylinder tilted about its platform between two planes: from the axis' nearer end to a plane, the
 * shortest distance takes r cos(alpha) off and the ray in the plane's own direction divides by cos(alpha), alpha the
 * axis' angle to the plane (reference values: plane at 4, r 2: 15 deg 2.141105 and 2.068148, 30 deg 2.618802 and 2.267949).
 */
function margins(column: number, row: number, platformX = 0, lengthMm = LENGTH_MM) {
  const [f, m] = [Math.tan(radians(column)), Math.tan(radians(row))]
  const sine = -f / Math.sqrt(1 + f * f + m * m)
  const cosine = Math.sqrt(1 - sine * sine)
  const apexX = platformX + lengthMm * sine
  const facial = FACIAL_MM - Math.max(platformX, apexX)
  const oral = ORAL_MM + Math.min(platformX, apexX)
  return {
    facial: facial / cosine - RADIUS_MM,
    oral: oral / cosine - RADIUS_MM,
    nearest: Math.min(facial, oral) - RADIUS_MM * cosine,
  }
}

describe('a cylinder between two planes', () => {
  let chart: TiltChart
  beforeAll(() => {
    chart = run()
  }, 60_000)

  test('the closed forms are those of the reference values', () => {
    // Tilted so that the apex goes orally: the platform is nearest to the facial plane.
    const x = FACIAL_MM - 4
    expect(margins(15, 0, x).facial).toBeCloseTo(2.141105, 6)
    expect(margins(30, 0, x).facial).toBeCloseTo(2.618802, 6)
    expect(margins(15, 0, x).nearest).toBeCloseTo(2.068148, 6)
    expect(margins(30, 0, x).nearest).toBeCloseTo(2.267949, 6)
  })

  test('has every margin as the closed form has it', () => {
    expect(chart.coarseness).toBe(1)
    expect(chart.radialMm).toHaveLength(61 * 31)
    expect(
      off(chart, chart.radialMm, (c, r) => Math.min(margins(c, r).facial, margins(c, r).oral)),
    ).toBeLessThan(1e-9)
    expect(off(chart, chart.nearestMm, (c, r) => margins(c, r).nearest)).toBeLessThan(1e-9)
  })

  test('the reserve is the least of what the limits leave: facial 1, oral 1, nearest 1', () => {
    const reserve = (c: number, r: number) => {
      const { facial, oral, nearest } = margins(c, r)
      return Math.min(facial - 1, oral - 1, nearest - 1)
    }
    expect(off(chart, chart.reserveMm, reserve)).toBeLessThan(1e-9)
  })

  test('limits of the plan are those that the reserve is reckoned with', () => {
    const strict = slabSite(plate, { limits: { facialMarginMm: 1.8, marginMm: 0.5 } })
    const spec: TiltChartSpec = {
      ...DEFAULT_CHART_SPEC,
      columns: { from: -10, to: 10, count: 5 },
      rows: { from: -5, to: 5, count: 3 },
    }
    const steps = tiltChartSteps(strict, spec)
    let step = steps.next()
    while (!step.done) step = steps.next()
    const { value } = step
    const reserve = (c: number, r: number) => {
      const { facial, oral, nearest } = margins(c, r)
      return Math.min(facial - 1.8, oral - 0.5, nearest - 0.5)
    }
    expect(off(value, value.reserveMm, reserve)).toBeLessThan(1e-9)
    expect(value.limits.facialMarginMm).toMatchObject({ value: 1.8, unit: 'mm' })
    expect(value.limits.facialMarginMm.source).toContain('set in the plan')
  })

  test('exits lie where the tangent puts them', () => {
    // Printed table: height 14, 5 to 30 degrees: 1.22, 2.47, 3.75, 5.10, 6.53, 8.08 mm.
    const row = chart.rows.indexOf(0)
    const at = (deg: number) => chart.offsetMm[row * 61 + chart.columns.indexOf(deg)] ?? Number.NaN
    expect([5, 10, 15, 20, 25, 30].map((deg) => Number(at(deg).toFixed(2)))).toEqual([
      1.22, 2.47, 3.75, 5.1, 6.53, 8.08,
    ])
    expect(off(chart, chart.offsetMm, (c) => 14 * Math.tan(radians(c)))).toBeLessThan(1e-9)
    const classes = new Set(chart.exit)
    expect([...classes].sort()).toEqual(['facial', 'incisal', 'palatal'])
    // 15 degrees facial needs 15 + 6.1 degrees when the bend is at the platform.
    expect(chart.correctionDeg[row * 61 + 45]).toBeCloseTo(21.1, 1)
    expect(chart.correctionDeg[row * 61 + 23]).toBe(0)
  })

  test('a scene alike mesially and distally gives a chart alike', () => {
    const mirrored = <T>(field: readonly T[]): T[] =>
      chart.rows.flatMap((_, row) => field.slice((30 - row) * 61, (31 - row) * 61))
    for (const field of [
      chart.radialMm,
      chart.nearestMm,
      chart.reserveMm,
      chart.offsetMm,
      chart.correctionDeg,
      chart.graftMm3,
      chart.clearanceMm,
    ]) {
      const other = mirrored(field)
      for (const [cell, value] of field.entries())
        expect(Math.abs((value ?? Number.NaN) - (other[cell] ?? Number.NaN))).toBeLessThan(1e-9)
    }
    expect(mirrored(chart.exit)).toEqual(chart.exit)
  })

  test('the same chart twice is the same to the last digit, and plain', () => {
    expect(run()).toEqual(chart)
    expect(JSON.parse(JSON.stringify(chart))).toEqual(chart)
  })

  test('says what it is read against and how sure it is', () => {
    // Half a voxel of 0.2 mm and the fast march's 0.17 mm, added in squares.
    expect(chart.uncertaintyMm).toBeCloseTo(Math.hypot(0.1, 0.17), 9)
    expect(chart.limits.correctionDeg).toMatchObject({ value: 25, unit: 'deg' })
    expect(chart.limits.facialMarginTargetMm.value).toBe(2)
    expect(chart.cautions.length).toBeGreaterThan(3)
    expect(chart).toMatchObject({
      tooth: '11',
      pivot: [0, 0, 0],
      present: { column: 0, row: 0 },
      openShare: chart.radialMm.map(() => 0),
    })
  })
})

test('depth rows move the fixture along its planned axis, and it is tilted first', () => {
  const chart = run({ ...chartSpec('depth'), rows: { from: -3, to: 3, count: 7 } })
  // Upright as planned: x stays, whatever the depth; the height over the platform grows.
  expect(off(chart, chart.radialMm, (c) => Math.min(margins(c, 0).facial, margins(c, 0).oral))).toBeLessThan(
    1e-9,
  )
  expect(off(chart, chart.offsetMm, (c, r) => (14 + r) * Math.tan(radians(c)))).toBeLessThan(1e-9)
})

test('shift rows move it along the facial direction of the crown', () => {
  const chart = run({ ...chartSpec('shift'), columns: { from: -15, to: 15, count: 31 } })
  expect(
    off(chart, chart.radialMm, (c, r) => Math.min(margins(c, 0, r).facial, margins(c, 0, r).oral)),
  ).toBeLessThan(1e-9)
  expect(off(chart, chart.offsetMm, (c, r) => r + 14 * Math.tan(radians(c)))).toBeLessThan(1e-9)
})

test('about its apex the platform sways by length times sine', () => {
  const chart = run(chartSpec('tilt', 'apex'))
  expect(chart.pivot).toEqual([0, 0, 10])
  const nearest = (c: number, r: number) => {
    const [f, m] = [Math.tan(radians(c)), Math.tan(radians(r))]
    return margins(c, r, (LENGTH_MM * f) / Math.sqrt(1 + f * f + m * m)).nearest
  }
  expect(off(chart, chart.nearestMm, nearest)).toBeLessThan(1e-9)
})

describe('stages', () => {
  function stages(spec?: TiltChartSpec) {
    const charts: TiltChart[] = []
    const shares: number[] = []
    for (const steps = tiltChartSteps(site, spec); ; ) {
      const step = steps.next()
      if (step.done) return { charts: [...charts, step.value], shares }
      if (typeof step.value === 'number') shares.push(step.value)
      else charts.push(step.value)
    }
  }

  test('coarse charts agree with the full one at their cells, the others hold the nearest of those', () => {
    const { charts, shares } = stages()
    expect(charts.map(({ coarseness }) => coarseness)).toEqual([4, 2, 1])
    const full = charts[2]
    const nearestMeasured = (n: number, count: number, step: number) => {
      const measured = [...Array(count).keys()].filter((k) => k % step === 0 || k === count - 1)
      return measured.sort((a, b) => Math.abs(a - n) - Math.abs(b - n) || a - b)[0]
    }
    for (const chart of charts)
      for (const name of ['radialMm', 'reserveMm', 'exit', 'offsetMm', 'graftMm3'] as const)
        expect(chart[name]).toEqual(
          full[name].map((_, cell) => {
            const column = nearestMeasured(cell % 61, 61, chart.coarseness)
            const row = nearestMeasured(Math.floor(cell / 61), 31, chart.coarseness)
            return full[name][row * 61 + column]
          }),
        )
    // A share every 64 poses, rising.
    expect(shares).toHaveLength(Math.floor((61 * 31) / 64))
    expect(shares).toEqual(shares.map((_, n) => ((n + 1) * 64) / (61 * 31)))
  })

  test('each pose is measured once', () => {
    const poses: string[] = []
    const counted: typeof site = {
      ...site,
      meter: () => {
        const meter = site.meter()
        const bone: typeof meter.bone = (pose, graft) => {
          poses.push(JSON.stringify(pose))
          return meter.bone(pose, graft)
        }
        return { ...meter, bone }
      },
    }
    for (const _ of tiltChartSteps(counted, DEFAULT_CHART_SPEC));
    expect(poses).toHaveLength(61 * 31)
    expect(new Set(poses).size).toBe(61 * 31)
  })

  test('small charts meet both ends too', () => {
    const spec: TiltChartSpec = {
      ...DEFAULT_CHART_SPEC,
      columns: { from: -20, to: 1, count: 2 },
      rows: { from: -2, to: 7, count: 6 },
    }
    const { charts } = stages(spec)
    expect(charts[0].columns).toEqual([-20, 1])
    expect(charts[0].rows[0]).toBe(-2)
    expect(charts[0].rows[5]).toBe(7)
    for (const chart of charts)
      for (const cell of [0, 1, 10, 11]) expect(chart.radialMm[cell]).toBe(charts[2].radialMm[cell])
  })
})

describe('with pauses', () => {
  test('comes to the same, with coarser charts on the way', async () => {
    const coarser: number[] = []
    let shares = 0
    const chart = await tiltChart(site, chartSpec(), {
      onChart: ({ coarseness }) => coarser.push(coarseness),
      onProgress: () => shares++,
      pause: () => new Promise((go) => setTimeout(go)),
    })
    expect(chart).toEqual(run())
    expect(coarser).toEqual([4, 2])
    expect(shares).toBe(29)
  })

  test('stops between steps when it is aborted', async () => {
    const control = new AbortController()
    let steps = 0
    const chart = tiltChart(site, DEFAULT_CHART_SPEC, {
      signal: control.signal,
      pause: async () => {
        if (++steps === 3) control.abort(new Error('moved on'))
      },
    })
    await expect(chart).rejects.toThrow('moved on')
    expect(steps).toBe(3)
    await expect(
      tiltChart(site, DEFAULT_CHART_SPEC, { signal: control.signal, pause: async () => void steps++ }),
    ).rejects.toThrow('moved on')
    expect(steps).toBe(3)
  })
})

describe('what cannot be charted is named', () => {
  const first = (change: Partial<TiltChartSpec>) => () =>
    tiltChartSteps(site, { ...DEFAULT_CHART_SPEC, ...change }).next()
  const axis = { from: -5, to: 5, count: 3 }
  test.each([
    ['columns.count', { columns: { ...axis, count: 1 } }],
    ['columns.count', { columns: { ...axis, count: 2.5 } }],
    ['rows.count', { rows: { ...axis, count: Number.NaN } }],
    ['columns.to', { columns: { ...axis, to: 60.1 } }],
    ['rows.from', { rows: { ...axis, from: -61 } }],
    ['columns.from', { columns: { ...axis, from: Number.NaN } }],
    ['rows.to', { rows: { ...axis, to: Number.POSITIVE_INFINITY } }],
    ['rows.from must be smaller', { rows: { ...axis, from: 5 } }],
    ['rows.to must lie between -20 and 20 mm', { kind: 'depth', rows: { ...axis, to: 21 } }],
  ] as const)('%s', (named, change) => {
    expect(first(change)).toThrow(RangeError)
    expect(first(change)).toThrow(named)
  })
})
