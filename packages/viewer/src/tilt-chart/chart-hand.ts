import type { TiltChartSpec } from '@alveometer/core'
import { arrowKeys } from '../drawing/arrow-keys.js'
import type { Pixel } from '../drawing/view.js'
import { type ChartPlace, rowsRunDown, stepOf, withinEnds } from './chart-grid.js'

/** Cells that Shift and an arrow go at once. */
const farCells = 5

/** Where an arrow key leads from a place: one cell on the picture, five with Shift, at most to the chart's end. */
export function steppedBy(
  spec: TiltChartSpec,
  from: ChartPlace,
  event: Pick<KeyboardEvent, 'key' | 'shiftKey'>,
): ChartPlace | null {
  const arrow = arrowKeys[event.key]
  if (arrow === undefined) return null
  const cells = event.shiftKey ? farCells : 1
  const [right, down] = arrow
  const up = rowsRunDown(spec) ? down : -down
  return withinEnds(spec, {
    column: from.column + right * cells * stepOf(spec.columns),
    row: from.row + up * cells * stepOf(spec.rows),
  })
}

const toMultiple = (value: number, step: number): number =>
  Number((Math.round(value / step) * step).toFixed(6))

/** Where a drag has come to: in tenths of a degree, and in twentieths of a millimetre, finer than a hand is. */
export function draggedTo(spec: TiltChartSpec, to: ChartPlace): ChartPlace {
  const { column, row } = withinEnds(spec, to)
  return { column: toMultiple(column, 0.1), row: toMultiple(row, spec.kind === 'tilt' ? 0.1 : 0.05) }
}

/** A pointer that is down on the chart: what a tap becomes, and when it is one no more. */
export interface Press {
  readonly pointerId: number
  readonly start: Pixel
  readonly atMs: number
  /** From the plan's mark to the pointer, where it was taken hold of; null elsewhere. */
  readonly grip: Pixel | null
  /** Where the plan was. */
  readonly from: ChartPlace
}

/** A pointer that goes so far is no tap, pixels. */
const tapPx = 5
/** A finger that rests so long reads and does not tap, ms; own choice. */
const tapMs = 600

export const wentAway = (press: Press, [x, y]: Pixel): boolean =>
  Math.hypot(x - press.start[0], y - press.start[1]) > tapPx

export const isTap = (press: Press, at: Pixel, nowMs: number): boolean =>
  !wentAway(press, at) && nowMs - press.atMs < tapMs
