import { isPosterior, oralSide, type TiltChart } from '@alveometer/core'
import { deg, mm, mm3, mmTolerance } from '../text/format.js'
import { type ChartPlace, cellOf, indexOf, liesOn } from './chart-grid.js'
import { type ChartView, chartViews } from './chart-views.js'
import { wantedExit } from './exit-zones.js'
import { zoneName } from './lettering.js'

/** One number of a cell. */
export interface Told {
  readonly text: string
  /** Below its limit, or not where it is wanted. */
  readonly below: boolean
}

/** The numbers of the cell that a place lies in, none beyond the cells; margins carry their 95 % interval. */
export function reading(chart: TiltChart, view: ChartView, place: ChartPlace): Told[] {
  if (!liesOn(chart.spec, place)) return [{ text: 'beyond the chart', below: false }]
  const cell = indexOf(chart.spec, cellOf(chart.spec, place))
  return [margin(chart, view, cell), exit(chart, cell), ...bend(chart, cell), ...more(chart, cell)]
}

function margin(chart: TiltChart, view: ChartView, cell: number): Told {
  const { name, valuesMm, limitMm } = chartViews[view]
  const valueMm = valuesMm(chart)[cell] ?? null
  const limit = limitMm(chart)
  if (valueMm === null) return { text: `${name}: no number`, below: false }
  const open = (chart.openShare[cell] ?? 0) > 0 ? ' or less, data ends' : ''
  return {
    text: `${name} ${mmTolerance(valueMm, chart.uncertaintyMm)}${open}`,
    below: limit !== null && valueMm < limit,
  }
}

function exit(chart: TiltChart, cell: number): Told {
  const kind = chart.exit[cell] ?? null
  const offsetMm = chart.offsetMm[cell] ?? null
  const below = kind !== wantedExit(chart.tooth)
  if (kind === null || offsetMm === null) return { text: zoneName(kind ?? 'none'), below }
  const side = offsetMm < 0 ? oralSide(chart.tooth) : 'facial'
  const from = isPosterior(chart.tooth) ? 'groove' : 'edge'
  const place = `${mm(Math.abs(offsetMm))} ${side} of the ${from}`
  return { text: `${zoneName(kind)}, ${place}`, below }
}

/** Where no channel meets the crown nothing can be bent. */
function bend(chart: TiltChart, cell: number): Told[] {
  const bendDeg = chart.correctionDeg[cell] ?? null
  const limitDeg = chart.limits.correctionDeg?.value ?? Number.POSITIVE_INFINITY
  if (bendDeg === null) return [{ text: 'no bend up to 60° reaches', below: true }]
  return [{ text: bendDeg === 0 ? 'no bend' : `bend ${deg(bendDeg)}`, below: bendDeg > limitDeg }]
}

function more(chart: TiltChart, cell: number): Told[] {
  const graftMm3 = chart.graftMm3[cell] ?? null
  const clearanceMm = chart.clearanceMm[cell] ?? null
  const told: Told[] = []
  if (graftMm3 !== null)
    told.push({ text: graftMm3 < 0.5 ? 'no graft' : `graft ${mm3(graftMm3)}`, below: false })
  if (clearanceMm !== null) told.push({ text: `clear of neighbours by ${mm(clearanceMm)}`, below: false })
  return told
}
