import type { TiltChart } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { cased, path } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { runsPath } from '../margin-map/map-paths.js'
import { type ChartGrid, type ChartPlace, indexOf, pixelOf, rowFromTop } from './chart-grid.js'
import { type ChartView, chartViews } from './chart-views.js'
import type { Contour } from './contours.js'
import type { ExitZone } from './exit-zones.js'
import { spaced } from './iso-lines.js'
import type { Lettering } from './lettering.js'

/** Everything measured that is drawn over the colours, worked out once for a chart at a size. */
export interface ChartMarks {
  readonly zones: readonly ExitZone[]
  readonly contours: readonly Contour[]
  readonly lettering: readonly Lettering[]
}

/** The ticks that show on which side of its outline the wanted zone lies: one for each so many pixels, and their length. */
const tickEveryPx = 9
const tickPx = 9

const ticks = (lines: readonly (readonly Pixel[])[]): string =>
  lines
    .flatMap((line) => spaced(line, tickEveryPx))
    .map(({ at: [x, y], direction: [dx, dy] }) =>
      path([
        [x, y],
        [x + dy * tickPx, y - dx * tickPx],
      ]),
    )
    .join('')

const joinedPath = (lines: readonly (readonly Pixel[])[]): string => lines.map((line) => path(line)).join('')

/** Cells below the limit and cells without a number; hatching and lines are broken off round every letter. */
export function cellMarks(
  chart: TiltChart,
  view: ChartView,
  grid: ChartGrid,
  { lettering }: ChartMarks,
): SVGTemplateResult {
  const { valuesMm, limitMm } = chartViews[view]
  const [values, limit] = [valuesMm(chart), limitMm(chart)]
  const { columns, rows } = chart.spec
  const size = { rows: rows.count, columns: columns.count, width: grid.width, height: grid.height }
  const value = (row: number, column: number): number | null =>
    values[indexOf(chart.spec, { column, row: rowFromTop(chart.spec, row) })] ?? null
  const low = runsPath(size, (row, column) => {
    const own = value(row, column)
    return own !== null && limit !== null && own < limit
  })
  const none = runsPath(size, (row, column) => value(row, column) === null)
  return svg`<defs><mask id="lettered" maskUnits="userSpaceOnUse" x="0" y="0" width=${grid.width} height=${grid.height}>
      <rect class="shown" width=${grid.width} height=${grid.height}></rect>
      ${lettering.map(({ box }) => svg`<rect class="broken" x=${box.x - box.halfWidth} y=${box.y - box.halfHeight} width=${2 * box.halfWidth} height=${2 * box.halfHeight}></rect>`)}
    </mask></defs>
    <g mask="url(#lettered)"><path class="hatching" fill="url(#low)" d=${low}></path><path class="hatching" fill="url(#none)" d=${none}></path></g>`
}

/** The lines through the fixture standing along the crown's axis, or through the rows' zero. */
export function centreLines(grid: ChartGrid): SVGTemplateResult {
  const [x, y] = pixelOf(grid, { column: 0, row: 0 })
  const down = x >= 0 && x <= grid.width ? `M${x},0V${grid.height}` : ''
  const over = y >= 0 && y <= grid.height ? `M0,${y}H${grid.width}` : ''
  return svg`<path class="upright" d=${down}></path><path class="upright" d=${over}></path>`
}

/** Zones, contours and their lettering. */
export function lineMarks({ zones, contours, lettering }: ChartMarks): SVGTemplateResult {
  const wanted = zones.filter((zone) => zone.wanted)
  return svg`<g mask="url(#lettered)">
      ${contours.map(({ kind, lines }) => cased(joinedPath(lines), kind))}
      ${zones.map(({ key, lines }) => svg`<g data-zone=${key}>${cased(joinedPath(lines), 'zone')}</g>`)}
      ${wanted.map(({ lines }) => svg`<g class="wanted">${cased(ticks(lines), 'tick')}${cased(joinedPath(lines), 'wanted')}</g>`)}
    </g>
    ${lettering.map(letters)}`
}

/** Where letters stand on their line so that they look to be in its middle, pixels. */
const dropPx = 4

function letters({ kind, text, at: [x, y], upright }: Lettering): SVGTemplateResult {
  const place = `translate(${x.toFixed(1)} ${y.toFixed(1)})${upright ? ' rotate(-90)' : ''}`
  return svg`<text class="note ${kind} ${kind === 'zone' ? '' : 'measured'}" transform=${place} y=${dropPx} text-anchor="middle">${text}</text>`
}

/** The cell that is read. */
export function spotMark(grid: ChartGrid, place: ChartPlace): SVGTemplateResult {
  const [x, y] = pixelOf(grid, place)
  const half = [
    Math.max(3, grid.width / grid.spec.columns.count / 2),
    Math.max(3, grid.height / grid.spec.rows.count / 2),
  ] as const
  const box = path(
    [
      [x - half[0], y - half[1]],
      [x + half[0], y - half[1]],
      [x + half[0], y + half[1]],
      [x - half[0], y + half[1]],
    ],
    true,
  )
  return svg`<g class="spot">${cased(box, 'thin')}</g>`
}
