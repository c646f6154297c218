import { type MarginResult, type RayFlag, type RayState, shownMm } from '@alveometer/core'

/** One cell of the margin map: what the ray there found. */
export interface MarginCell {
  readonly row: number
  readonly column: number
  readonly depthMm: number
  readonly angleDeg: number
  /** Null where there is no number; `state` says why. */
  readonly radialMm: number | null
  /** Half width of the interval shown beside it, mm: the ray's own and the floor. */
  readonly toleranceMm: number
  /** Shortest distance from the fixture's surface there to the outside of bone; null in fast mode. */
  readonly nearestMm: number | null
  /** Thickness of the cortical plate behind the ray; null where none was fitted, and in fast mode. */
  readonly plateMm: number | null
  readonly plateToleranceMm: number
  readonly flags: readonly RayFlag[]
  readonly state: RayState
}

export const cellAt = (margin: MarginResult, row: number, column: number): MarginCell => ({
  row,
  column,
  depthMm: margin.depthsMm[row] ?? 0,
  angleDeg: margin.anglesDeg[column] ?? 0,
  radialMm: margin.radialMm[row]?.[column] ?? null,
  toleranceMm: shownMm(margin.interval, margin.halfWidthMm[row]?.[column] ?? 0),
  nearestMm: margin.nearestMm?.[row]?.[column] ?? null,
  plateMm: margin.cortexMm?.[row]?.[column] ?? null,
  plateToleranceMm: shownMm(margin.interval, margin.cortexHalfWidthMm?.[row]?.[column] ?? 0),
  flags: margin.flags[row]?.[column] ?? [],
  state: margin.state[row]?.[column] ?? 'no-surface',
})

/** The cell nearest to a depth and an angle: a number as measured, never one in between. */
export const nearestCell = (margin: MarginResult, depthMm: number, angleDeg: number): MarginCell =>
  cellAt(margin, nearestRow(margin, depthMm), nearestColumn(margin, angleDeg))

export function nearestRow({ depthsMm }: MarginResult, depthMm: number): number {
  let best = 0
  let least = Number.POSITIVE_INFINITY
  for (let n = 0; n < depthsMm.length; n++) {
    const away = Math.abs((depthsMm[n] as number) - depthMm)
    if (away >= least) continue
    best = n
    least = away
  }
  return best
}

function nearestColumn({ anglesDeg }: MarginResult, angleDeg: number): number {
  let best = 0
  let least = Number.POSITIVE_INFINITY
  for (let n = 0; n < anglesDeg.length; n++) {
    const turned = (anglesDeg[n] as number) - angleDeg
    const away = Math.abs(turned - 360 * Math.round(turned / 360))
    if (away >= least) continue
    best = n
    least = away
  }
  return best
}
