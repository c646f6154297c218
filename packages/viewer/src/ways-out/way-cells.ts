import type { PoseMeasures, WayOut, WaysOut } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'
import { deg, mm3, tolerance } from '../text/format.js'
import { exitPlaceWords, tiltWords } from './way-words.js'

/** A pose in the table: a way out, or what is planned. */
export interface Column {
  readonly way: WayOut | 'present'
  readonly measures: PoseMeasures
  /** The bend planned, or needed. */
  readonly bendDeg: number | null
}

export interface CellsKnown {
  readonly tooth: string
  readonly uncertaintyMm: number
  readonly limits: {
    readonly marginMm: number
    readonly facialMarginMm: number
    readonly correctionDeg: number
  }
}

type Cell = (column: Column, known: CellsKnown) => TemplateResult

/** Numbers of the table, row by row. */
export const wayRows: readonly { readonly name: string; readonly unit: string; readonly cell: Cell }[] = [
  {
    name: 'nearest bone',
    unit: 'mm',
    cell: ({ way, measures }, { limits, uncertaintyMm }) =>
      bone(way, measures.nearestMm, limits.marginMm, uncertaintyMm),
  },
  {
    name: 'facial bone',
    unit: 'mm',
    cell: ({ way, measures }, { limits, uncertaintyMm }) =>
      bone(way, measures.sectors.facial ?? null, limits.facialMarginMm, uncertaintyMm),
  },
  { name: 'straight exit', unit: '', cell: exitCell },
  { name: 'bend', unit: '', cell: bendCell },
  { name: 'graft', unit: '', cell: graftCell },
  {
    name: 'tilt',
    unit: '',
    cell: ({ measures }, { tooth }) => {
      const [facial = '', mesial = ''] = tiltWords(measures, tooth)
      return html`<td>${facial} <span class="second">${mesial}</span></td>`
    },
  },
]

function bone(
  way: Column['way'],
  value: number | null,
  limitMm: number,
  uncertaintyMm: number,
): TemplateResult {
  if (value === null) return html`<td>no number</td>`
  const text = tolerance(value, uncertaintyMm)
  return html`<td><span class=${value < limitMm ? 'below low' : ''}>${text}</span>${
    way === 'straight-graft' ? html` <span class="second">before the graft</span>` : nothing
  }</td>`
}

/** The exit counts where a straight channel is to be used; else it is told without a mark. */
function exitCell({ way, measures }: Column, { tooth }: CellsKnown): TemplateResult {
  const [place, offset] = exitPlaceWords(measures, tooth)
  const counts = way !== 'angled' && way !== 'cemented'
  const low = counts && (measures.insideMm === null || measures.insideMm < 0)
  return html`<td><span class=${low ? 'below low' : ''}>${place}</span> <span class="second">${offset}</span></td>`
}

function bendCell({ way, bendDeg }: Column, { limits }: CellsKnown): TemplateResult {
  if (way === 'cemented') return html`<td>–</td>`
  if (way === 'straight' || way === 'straight-graft') return html`<td>none</td>`
  if (bendDeg === null) return html`<td><span class="below low">none reaches it</span></td>`
  const low = bendDeg > limits.correctionDeg
  if (bendDeg === 0) return html`<td>none</td>`
  return html`<td><span class=${low ? 'below low' : ''}>${deg(bendDeg)}</span>${
    way === 'present' ? html` <span class="second">needed</span>` : nothing
  }</td>`
}

/** Ways without a graft show quietly what one would take to the wanted margins. */
function graftCell({ way, measures }: Column): TemplateResult {
  const { graftMm3 } = measures
  if (way === 'straight-graft') return html`<td>${graftMm3 === null ? 'no number' : mm3(graftMm3)}</td>`
  const wanted = graftMm3 !== null && graftMm3 >= 0.5
  return html`<td>none${wanted ? html` <span class="second">${mm3(graftMm3)} to the wanted bone</span>` : nothing}</td>`
}

/** The pose of the table's first column and of every way. */
export function columnsOf({ present, ways }: WaysOut): readonly Column[] {
  return [
    { way: 'present', measures: present.measures, bendDeg: present.measures.correctionDeg },
    ...ways.map(({ way, measures, bendDeg }) => ({
      way,
      measures,
      bendDeg: way === 'angled' ? (bendDeg ?? measures.correctionDeg) : null,
    })),
  ]
}
