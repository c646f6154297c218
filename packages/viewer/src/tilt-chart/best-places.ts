import type { TiltChart } from '@alveometer/core'
import { html, nothing, type SVGTemplateResult, svg, type TemplateResult } from 'lit'
import { cased } from '../drawing/lines.js'
import { mmTolerance } from '../text/format.js'
import { type Box, boxAt } from './boxes.js'
import { type ChartGrid, type ChartPlace, indexOf, measuredOf, pixelOf, placeOf } from './chart-grid.js'
import { type ChartView, chartViews } from './chart-views.js'
import { placeWords } from './chart-words.js'
import { wantedExit } from './exit-zones.js'
import { zoneName } from './lettering.js'

/** Where a chart has the most bone. */
export interface BestPlace {
  readonly place: ChartPlace
  readonly valueMm: number
}

/**
 * The most bone of all tilts, and of those whose exit is where it is wanted; null where there are none with a number. Tilts
 * that run into a neighbour do not count.
 */
export interface BestPlaces {
  readonly anywhere: BestPlace | null
  readonly wanted: BestPlace | null
}

export function bestPlaces(chart: TiltChart, view: ChartView): BestPlaces {
  const { spec, coarseness } = chart
  const values = chartViews[view].valuesMm(chart)
  const kind = wantedExit(chart.tooth)
  let [anywhere, wanted]: (BestPlace | null)[] = [null, null]
  for (const row of measuredOf(spec.rows.count, coarseness))
    for (const column of measuredOf(spec.columns.count, coarseness)) {
      const cell = indexOf(spec, { column, row })
      const valueMm = values[cell] ?? null
      if (valueMm === null || (chart.clearanceMm[cell] ?? 0) < 0) continue
      const found = { place: placeOf(spec, { column, row }), valueMm }
      if (anywhere === null || valueMm > anywhere.valueMm) anywhere = found
      if (chart.exit[cell] === kind && (wanted === null || valueMm > wanted.valueMm)) wanted = found
    }
  return { anywhere, wanted }
}

/** Arms of the mark, pixels. */
const armPx = 4.5

const marked = ({ anywhere, wanted }: BestPlaces): BestPlace[] =>
  [anywhere, wanted].filter((best) => best !== null)

export const bestBoxes = (grid: ChartGrid, best: BestPlaces): Box[] =>
  marked(best).map(({ place }) => boxAt(pixelOf(grid, place), armPx + 3, armPx + 3))

const cross = (x: number, y: number): string =>
  `M${(x - armPx).toFixed(1)},${(y - armPx).toFixed(1)}l${2 * armPx},${2 * armPx}m0,${-2 * armPx}l${-2 * armPx},${2 * armPx}`

export const bestMarks = (grid: ChartGrid, best: BestPlaces): SVGTemplateResult[] =>
  marked(best).map(({ place }) => svg`<g class="best">${cased(cross(...pixelOf(grid, place)), 'best')}</g>`)

/** What the crosses mark, in words and numbers. */
export function bestWords(chart: TiltChart, best: BestPlaces): TemplateResult | typeof nothing {
  const { anywhere, wanted } = best
  if (anywhere === null) return nothing
  const told = ({ place, valueMm }: BestPlace): TemplateResult =>
    html`<b>${mmTolerance(valueMm, chart.uncertaintyMm)}</b> at ${placeWords(chart, place)}`
  const name = zoneName(wantedExit(chart.tooth))
  return html`<p class="most measured"><svg class="swatch" viewBox="0 0 26 12" aria-hidden="true">${cased(cross(13, 6), 'best')}</svg>
      most bone: ${told(anywhere)}; ${wanted === null ? html`none with ${name}` : html`with ${name} ${told(wanted)}`}</p>`
}
