import { html, nothing, svg, type TemplateResult } from 'lit'
import { cased } from '../drawing/lines.js'
import { plain } from '../text/format.js'
import type { ChartViewFacts } from './chart-views.js'

/** What there is on a chart to be explained. */
export interface OnChart {
  readonly low: boolean
  readonly none: boolean
  readonly wanted: boolean
  readonly bend: boolean
  readonly graft: boolean
}

const key = (swatch: unknown, kind: string, text: string): TemplateResult =>
  html`<span class="key"><svg class="swatch ${kind}" viewBox="0 0 26 12" aria-hidden="true">${swatch}</svg>${text}</span>`

const filled = (pattern: string): unknown => svg`<rect width="26" height="12" fill="url(#${pattern})"></rect>`

/** The scale with its limit, and what the lines and hatchings mean: only those that are there. */
export function chartLegend(
  { fromMm, toMm, unit }: ChartViewFacts,
  limitMm: number | null,
  on: OnChart,
): TemplateResult {
  const share = limitMm === null ? null : (limitMm - fromMm) / (toMm - fromMm)
  return html`<span class="key scale"><span>${plain(fromMm, 0)}</span>
      <span class="ramp"><canvas aria-hidden="true"></canvas>${
        share === null || share <= 0 || share >= 1
          ? nothing
          : html`<svg aria-hidden="true" viewBox="0 0 100 1" preserveAspectRatio="none"><line class="limit-tick" x1=${100 * share} x2=${100 * share} y1="0" y2="1"></line></svg>`
      }</span><span>${plain(toMm, 0)} ${unit}</span></span>
    ${on.low && limitMm !== null ? key(filled('low'), '', `below ${plain(limitMm, Number.isInteger(limitMm) ? 0 : 2)}\u202fmm`) : nothing}
    ${on.none ? key(filled('none'), 'none', 'no number') : nothing}
    ${on.wanted ? key(svg`${cased('M0,4H26', 'wanted')}${cased('M4,4V11M13,4V11M22,4V11', 'tick')}`, '', 'exit wanted') : nothing}
    ${on.bend ? key(cased('M1,6H26', 'bend'), '', 'bend') : nothing}
    ${on.graft ? key(cased('M0,6H26', 'graft'), '', 'graft') : nothing}`
}
