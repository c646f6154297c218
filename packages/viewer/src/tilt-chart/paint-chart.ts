import type { TiltChart } from '@alveometer/core'
import { paintMap } from '../margin-map/paint.js'
import { indexOf, rowFromTop } from './chart-grid.js'
import type { ChartViewFacts } from './chart-views.js'

/** One pixel for each cell, as the margin map is painted; cells without a number stay faint. */
export function paintChart(canvas: HTMLCanvasElement, chart: TiltChart, view: ChartViewFacts): void {
  const { spec } = chart
  const values = view.valuesMm(chart)
  const columns = Array.from({ length: spec.columns.count }, (_, column) => column)
  const rows = Array.from({ length: spec.rows.count }, (_, fromTop) => {
    const row = rowFromTop(spec, fromTop)
    return columns.map((column) => {
      const value = values[indexOf(spec, { column, row })] ?? null
      return value === null ? null : value - view.fromMm
    })
  })
  paintMap(canvas, rows, view.toMm - view.fromMm, columns)
}
