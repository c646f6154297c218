import type { MarginResult, RayState } from '@alveometer/core'

/** One cell of the margin map: what the ray there found. */
export interface MarginCell {
  readonly row: number
  readonly column: number
  readonly depthMm: number
  readonly angleDeg: number
  /** Null where there is no number; `state` says why. */
  readonly radialMm: number | null
  readonly state: RayState
}

export const cellAt = (margin: MarginResult, row: number, column: number): MarginCell => ({
  row,
  column,
  depthMm: margin.depthsMm[row] ?? 0,
  angleDeg: margin.anglesDeg[column] ?? 0,
  radialMm: margin.radialMm[row]?.[column] ?? null,
  state: margin.state[row]?.[column] ?? 'no-surface',
})

/** The cell nearest to a depth and an angle: a number as measured, never one in between. */
export function nearestCell(margin: MarginResult, depthMm: number, angleDeg: number): MarginCell {
  return cellAt(
    margin,
    nearestIndex(margin.depthsMm, (d) => Math.abs(d - depthMm)),
    nearestIndex(margin.anglesDeg, (a) => Math.abs(turn(a - angleDeg))),
  )
}

/** An angle brought to -180 to 180 degrees. */
const turn = (deg: number): number => deg - 360 * Math.round(deg / 360)

function nearestIndex(values: readonly number[], distance: (value: number) => number): number {
  let best = 0
  for (const [n, value] of values.entries()) if (distance(value) < distance(values[best] as number)) best = n
  return best
}
