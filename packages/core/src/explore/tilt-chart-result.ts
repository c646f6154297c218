import type { ExitClass } from '../crown/index.js'
import type { FixtureShape } from '../fixture/index.js'
import type { Vec3 } from '../space/index.js'

/** What stays where it is while the fixture is tilted. `crest`: where its axis, as planned, leaves bone coronally. */
export type ChartPivot = 'platform' | 'apex' | 'crest'

/** Evenly spaced values, both ends met. */
export interface ChartAxis {
  readonly from: number
  readonly to: number
  readonly count: number
}

/**
 * Columns: facial-palatal tilt of the fixture axis against the crown's long axis, degrees, facial positive, as
 * ExitResult.tiltFacialDeg. Rows, by kind: `tilt` mesial-distal tilt, degrees, mesial positive, as tiltMesialDeg; `depth`
 * the fixture moved along its planned axis, mm, apical positive; `shift` moved along the crown's facial direction, mm,
 * facial positive. Where rows are no tilts the mesial-distal tilt is that of the plan.
 */
export interface TiltChartSpec {
  readonly kind: 'tilt' | 'depth' | 'shift'
  readonly pivot: ChartPivot
  readonly columns: ChartAxis
  readonly rows: ChartAxis
}

/** Numbers row by row, columns from facial-palatal `from` to `to`; null where there is no number. */
export type ChartField = readonly (number | null)[]

/** Every tilt of the fixture at once. Plain and serialisable. */
export interface TiltChart {
  readonly schema: 'alveometer-tilt-chart'
  readonly version: 1
  readonly spec: TiltChartSpec
  readonly tooth: string
  readonly shape: FixtureShape
  /** The pivot, LPS mm, as the plan has it. */
  readonly pivot: Vec3
  /** Degrees. */
  readonly columns: readonly number[]
  /** Degrees or mm: see TiltChartSpec. */
  readonly rows: readonly number[]
  /** Where the plan lies in the chart: its column's and row's value; may lie beyond the ends. */
  readonly present: { readonly column: number; readonly row: number }
  /** Cells, in both directions, that were measured: 4 = every fourth, the others hold the nearest measured one; 1 = all. */
  readonly coarseness: number
  /** See PoseMeasures. */
  readonly radialMm: ChartField
  readonly nearestMm: ChartField
  /** Least reserve of the margin limits over the sectors and the nearest, mm: what is wanting where negative. */
  readonly reserveMm: ChartField
  readonly exit: readonly (ExitClass | null)[]
  readonly offsetMm: ChartField
  readonly correctionDeg: ChartField
  readonly graftMm3: ChartField
  readonly clearanceMm: ChartField
  /** Share of rays on which data ends too soon; above 0 margins may be smaller. */
  readonly openShare: readonly number[]
  /** Half width of the 95 % interval of a margin, mm. */
  readonly uncertaintyMm: number
  /** Limits that the chart is read against, with sources: codes as in limitsFor. */
  readonly limits: Readonly<
    Record<string, { readonly value: number; readonly unit: 'mm' | 'deg'; readonly source: string }>
  >
  readonly cautions: readonly string[]
}
