import type { ChartField, TiltChart } from '@alveometer/core'

/** Which number of bone the chart is coloured by. */
export type ChartView = 'nearest' | 'radial' | 'reserve'

export interface ChartViewFacts {
  readonly name: string
  /** What its numbers are, beside the scale. */
  readonly unit: string
  /** Ends of the scale, mm. */
  readonly fromMm: number
  readonly toMm: number
  readonly valuesMm: (chart: TiltChart) => ChartField
  /** Numbers below are hatched; null where the chart tells no limit. */
  readonly limitMm: (chart: TiltChart) => number | null
}

const boneLimitMm = (chart: TiltChart): number | null => chart.limits.marginMm?.value ?? null

export const chartViews: Readonly<Record<ChartView, ChartViewFacts>> = {
  nearest: {
    name: 'nearest',
    unit: 'mm, nearest',
    fromMm: 0,
    toMm: 3,
    valuesMm: (chart) => chart.nearestMm,
    limitMm: boneLimitMm,
  },
  radial: {
    name: 'radial',
    unit: 'mm, radial',
    fromMm: 0,
    toMm: 3,
    valuesMm: (chart) => chart.radialMm,
    limitMm: boneLimitMm,
  },
  // A limit of 1 mm, as it is by default, then has the same shade on all three.
  reserve: {
    name: 'reserve',
    unit: 'mm in reserve',
    fromMm: -1,
    toMm: 2,
    valuesMm: (chart) => chart.reserveMm,
    limitMm: () => 0,
  },
}
