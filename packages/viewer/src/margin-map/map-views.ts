import type { GraftAssessment, MapRows, MarginResult } from '@alveometer/core'

export type MapView = 'margin' | 'nearest' | 'plate'

/** One way to look at the same map. */
export interface MapViewFacts {
  readonly name: string
  /** What its numbers are, beside the scale. */
  readonly unit: string
  /** The number at which the scale ends, mm: more than this looks alike. */
  readonly endMm: number
  /** Whether its numbers are held against the limit of bone. */
  readonly limited: boolean
  /** Null in fast mode where it cannot be had then. */
  readonly valuesMm: (margin: MarginResult) => MapRows<number | null> | null
}

export const mapViews: Readonly<Record<MapView, MapViewFacts>> = {
  margin: {
    name: 'margin',
    unit: 'mm along the ray',
    endMm: 4,
    limited: true,
    valuesMm: (margin) => margin.radialMm,
  },
  nearest: {
    name: 'nearest',
    unit: 'mm the shortest way',
    endMm: 4,
    limited: true,
    valuesMm: (margin) => margin.nearestMm,
  },
  plate: {
    name: 'plate thickness',
    unit: 'mm thick',
    // Plates that matter are thinner; the fit itself goes to 3.5 mm.
    endMm: 3,
    limited: false,
    valuesMm: (margin) => margin.cortexMm,
  },
}

export interface MapPlace {
  readonly row: number
  readonly column: number
  readonly valueMm: number
}

/** Where the values are least; null when there is none. */
export function leastOf(valuesMm: MapRows<number | null>): MapPlace | null {
  let least: MapPlace | null = null
  valuesMm.forEach((values, row) => {
    values.forEach((valueMm, column) => {
      if (valueMm !== null && (least === null || valueMm < least.valueMm)) least = { row, column, valueMm }
    })
  })
  return least
}

/** Which bone a map is of: as it is, with the graft, or with what of the graft is expected to remain. */
export type MapTime = 'before' | 'after' | 'kept'

export const mapTimes: Readonly<Record<MapTime, string>> = {
  before: 'now',
  after: 'grafted',
  kept: 'after loss',
}

/** The margin at a time. Plates and shortest distances are known of the present bone only. */
export function marginAtTime(
  margin: MarginResult,
  graft: GraftAssessment | null,
  time: MapTime,
): MarginResult {
  if (graft === null || time === 'before') return margin
  const told = time === 'after' ? graft.after : graft.afterLoss
  return { ...margin, ...told, nearestMm: null, cortexMm: null, cortexHalfWidthMm: null }
}
