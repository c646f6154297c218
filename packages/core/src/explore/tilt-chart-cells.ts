import type { TiltChartSpec } from './tilt-chart-result.js'

/** How coarse a chart is at first, and then: every fourth cell, every second, all. */
export const STAGES = [4, 2, 1] as const

/** Which of so many values are measured at a coarseness: every so-manieth and the last one. */
const measuredOf = (count: number, coarseness: number): readonly number[] =>
  [...Array(count).keys()].filter((n) => n % coarseness === 0 || n === count - 1)

/** Numbers of the cells that are measured at a coarseness, row by row. */
export function cellsAt({ columns, rows }: TiltChartSpec, coarseness: number): readonly number[] {
  const across = measuredOf(columns.count, coarseness)
  return measuredOf(rows.count, coarseness).flatMap((row) =>
    across.map((column) => row * columns.count + column),
  )
}

/** For each cell the number of the nearest one that is measured at a coarseness; of two as near the first. */
export function nearestCells({ columns, rows }: TiltChartSpec, coarseness: number): readonly number[] {
  const across = nearestOf(columns.count, coarseness)
  return nearestOf(rows.count, coarseness).flatMap((row) =>
    across.map((column) => row * columns.count + column),
  )
}

function nearestOf(count: number, coarseness: number): readonly number[] {
  const measured = measuredOf(count, coarseness)
  return Array.from({ length: count }, (_, n) =>
    measured.reduce((best, m) => (Math.abs(m - n) < Math.abs(best - n) ? m : best)),
  )
}
