import type { ChartAxis, ExitClass, TiltChart, TiltChartSpec } from '@alveometer/core'

const valuesOf = ({ from, to, count }: ChartAxis): number[] =>
  Array.from({ length: count }, (_, n) => from + ((to - from) * n) / (count - 1))

export const madeUpSpec: TiltChartSpec = {
  kind: 'tilt',
  pivot: 'platform',
  columns: { from: -30, to: 30, count: 61 },
  rows: { from: -15, to: 15, count: 31 },
}

/** Numbers of one pose of the made-up site. */
export interface MadeUpPose {
  readonly nearestMm: number | null
  readonly offsetMm: number | null
  readonly exit: ExitClass | null
  readonly correctionDeg: number | null
  readonly graftMm3: number | null
}

const tan = (deg: number): number => Math.tan((deg * Math.PI) / 180)

/** Bends pivot this far below the place where the exit is wanted, mm. */
export const madeUpBendMm = 9

/**
 * An upper front tooth whose bone leans 14 degrees facially and 3 distally: the margin falls evenly on both sides of that.
 * The platform lies 20 mm below the edge, 2.2 mm behind it; the exit class follows from the offset with a band of 1.5 mm.
 */
export function madeUpPose(facialDeg: number, rowValue: number): MadeUpPose {
  const mesialDeg = rowValue
  const nearestMm =
    facialDeg < -27 && mesialDeg > 8
      ? null
      : 2.1 - 0.055 * Math.abs(facialDeg - 14) - 0.05 * Math.abs(mesialDeg + 3)
  const graftMm3 = nearestMm === null ? null : 55 * Math.max(0, 1.8 - nearestMm) ** 1.5
  if (facialDeg < -22 && mesialDeg < -9)
    return { nearestMm, offsetMm: null, exit: null, correctionDeg: null, graftMm3 }
  const offsetMm = 20 * tan(facialDeg) - 2.2 + 0.006 * mesialDeg ** 2
  const exit = offsetMm >= 1.5 ? 'facial' : offsetMm <= -1.5 ? 'palatal' : 'incisal'
  const correctionDeg = (Math.atan(Math.max(0, offsetMm + 1.5) / madeUpBendMm) * 180) / Math.PI
  return { nearestMm, offsetMm, exit, correctionDeg, graftMm3 }
}

/** A chart of the made-up site; `pose` for another. */
export function madeUpChart(told: Partial<TiltChart> = {}, pose = madeUpPose): TiltChart {
  const spec = told.spec ?? madeUpSpec
  const columns = valuesOf(spec.columns)
  const rows = valuesOf(spec.rows)
  const poses = rows.flatMap((row) => columns.map((column) => pose(column, row)))
  const nearestMm = poses.map((p) => p.nearestMm)
  return {
    schema: 'alveometer-tilt-chart',
    version: 1,
    spec,
    tooth: '11',
    shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 11 },
    pivot: [0, 0, 0],
    columns,
    rows,
    present: { column: 8, row: 1 },
    coarseness: 1,
    nearestMm,
    radialMm: nearestMm.map((mm) => (mm === null ? null : mm + 0.2)),
    reserveMm: nearestMm.map((mm) => (mm === null ? null : mm - 1)),
    exit: poses.map((p) => p.exit),
    offsetMm: poses.map((p) => p.offsetMm),
    correctionDeg: poses.map((p) => p.correctionDeg),
    graftMm3: poses.map((p) => p.graftMm3),
    clearanceMm: poses.map(() => null),
    openShare: poses.map(() => 0),
    uncertaintyMm: 0.2,
    limits: {
      marginMm: { value: 1, unit: 'mm', source: 'made up' },
      facialMarginMm: { value: 1, unit: 'mm', source: 'made up' },
      correctionDeg: { value: 25, unit: 'deg', source: 'made up' },
    },
    cautions: [],
    ...told,
  }
}
