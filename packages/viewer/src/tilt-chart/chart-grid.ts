import type { ChartAxis, ChartField, TiltChart, TiltChartSpec } from '@alveometer/core'
import type { Pixel } from '../drawing/view.js'
import type { Lattice } from './iso-lines.js'

/** A pose on a chart: the value of its column, degrees, and of its row, degrees or mm. */
export interface ChartPlace {
  readonly column: number
  readonly row: number
}

/** A chart at the size it is drawn, pixels. */
export interface ChartGrid {
  readonly spec: TiltChartSpec
  readonly width: number
  readonly height: number
}

/** Mesial and facial lie up; what goes deeper goes down, as on the margin map. */
export const rowsRunDown = (spec: TiltChartSpec): boolean => spec.kind === 'depth'

export const stepOf = ({ from, to, count }: ChartAxis): number => (count > 1 ? (to - from) / (count - 1) : 1)

const along = (axis: ChartAxis, value: number): number =>
  ((value - axis.from) / stepOf(axis) + 0.5) / axis.count

const valueAlong = (axis: ChartAxis, share: number): number =>
  axis.from + stepOf(axis) * (share * axis.count - 0.5)

/** Where a place lies on the picture, pixels: each cell has its value in its middle. */
export function pixelOf(grid: ChartGrid, { column, row }: ChartPlace): Pixel {
  const { spec, width, height } = grid
  const share = along(spec.rows, row)
  return [width * along(spec.columns, column), height * (rowsRunDown(spec) ? share : 1 - share)]
}

/** The place under a pixel; it may lie beyond the ends. */
export function placeAt({ spec, width, height }: ChartGrid, [x, y]: Pixel): ChartPlace {
  const share = y / height
  return {
    column: valueAlong(spec.columns, x / width),
    row: valueAlong(spec.rows, rowsRunDown(spec) ? share : 1 - share),
  }
}

const clamp = (value: number, least: number, greatest: number): number =>
  Math.min(greatest, Math.max(least, value))

/** The nearest place between the ends. */
export const withinEnds = ({ rows, columns }: TiltChartSpec, place: ChartPlace): ChartPlace => ({
  column: clamp(place.column, Math.min(columns.from, columns.to), Math.max(columns.from, columns.to)),
  row: clamp(place.row, Math.min(rows.from, rows.to), Math.max(rows.from, rows.to)),
})

/** A cell by its numbers from 0 on. */
export interface ChartCell {
  readonly column: number
  readonly row: number
}

export const indexOf = (spec: TiltChartSpec, { column, row }: ChartCell): number =>
  row * spec.columns.count + column

/** The cell that a place lies in, or the nearest one. */
export const cellOf = (spec: TiltChartSpec, place: ChartPlace): ChartCell => {
  const number = (axis: ChartAxis, value: number): number =>
    clamp(Math.round((value - axis.from) / stepOf(axis)), 0, axis.count - 1)
  return { column: number(spec.columns, place.column), row: number(spec.rows, place.row) }
}

/** Whether a place lies on a cell of the chart. */
export function liesOn({ columns, rows }: TiltChartSpec, { column, row }: ChartPlace): boolean {
  const on = (axis: ChartAxis, value: number): boolean => {
    const share = along(axis, value)
    return share >= 0 && share <= 1
  }
  return on(columns, column) && on(rows, row)
}

export const placeOf = ({ columns, rows }: TiltChartSpec, cell: ChartCell): ChartPlace => ({
  column: columns.from + cell.column * stepOf(columns),
  row: rows.from + cell.row * stepOf(rows),
})

/** Whether a place lies beyond the cells of a chart, to each side: -1, 0 or 1 to the right and downwards on the picture. */
export function beyond(grid: ChartGrid, place: ChartPlace): Pixel {
  const [x, y] = pixelOf(grid, place)
  const side = (value: number, end: number): number => (value < 0 ? -1 : value > end ? 1 : 0)
  return [side(x, grid.width), side(y, grid.height)]
}

/** A row of the record for each row of the picture, from its top. */
export const rowFromTop = (spec: TiltChartSpec, row: number): number =>
  rowsRunDown(spec) ? row : spec.rows.count - 1 - row

/** Which of so many cells were measured at a coarseness: every so-manieth and the last one, as TiltChart tells. */
export const measuredOf = (count: number, coarseness: number): number[] =>
  Array.from({ length: count }, (_, n) => n).filter((n) => n % coarseness === 0 || n === count - 1)

/**
 * A field as points to draw lines through: one in the middle of each cell that was measured, and those of the outer cells
 * once more at the picture's edge, so that lines go up to it.
 */
export function latticeOf(
  { spec, width, height }: ChartGrid,
  field: ChartField,
  coarseness: TiltChart['coarseness'] = 1,
): Lattice {
  const columns = measuredOf(spec.columns.count, coarseness)
  const measuredRows = measuredOf(spec.rows.count, coarseness)
  const rows = rowsRunDown(spec) ? measuredRows : [...measuredRows].reverse()
  const middle = (n: number, count: number, size: number): number => (size * (n + 0.5)) / count
  const padded = <T>(values: readonly T[]): T[] => [...values.slice(0, 1), ...values, ...values.slice(-1)]
  const [acrossCells, downCells] = [padded(columns), padded(rows)]
  return {
    xs: [0, ...columns.map((n) => middle(n, spec.columns.count, width)), width],
    ys: [0, ...rows.map((n) => middle(rowFromTop(spec, n), spec.rows.count, height)), height],
    value: (row, column) => {
      const cell = { column: acrossCells[column] ?? 0, row: downCells[row] ?? 0 }
      return field[indexOf(spec, cell)] ?? null
    },
  }
}
