import { type GraftedMargin, type MarginResult, shownMm } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import { plain } from '../text/format.js'

/** What a graft makes of the margins, in three columns: as it is, with the graft, and when the expected part is lost. */
export function graftChange(
  margin: MarginResult,
  after: GraftedMargin,
  afterLoss: GraftedMargin,
): TemplateResult {
  const stages: readonly GraftedMargin[] = [margin, after, afterLoss]
  const row = (name: string, cell: (stage: GraftedMargin) => TemplateResult): TemplateResult =>
    html`<tr><th scope="row">${name}</th>${stages.map(cell)}</tr>`
  const shown = (halfWidthMm: number): number => shownMm(margin.interval, halfWidthMm)
  return html`<table class="change">
      <thead><tr><td></td><th scope="col">before</th><th scope="col">after</th><th scope="col">after loss</th></tr></thead>
      <tbody>
        ${row('least facial, mm', ({ sectors: { facial } }) => marginCell(facial?.minimumMm ?? null, shown(facial?.halfWidthMm ?? 0), facial?.limitMm ?? 0))}
        ${row('least of all, mm', ({ minimum }) => marginCell(minimum?.radialMm ?? null, minimum?.uncertaintyMm ?? 0, margin.levels.coronal.limitMm))}
        ${row('dehiscence, mm', ({ dehiscenceMm }) => bareCell(dehiscenceMm))}
        ${row('fenestration, mm²', ({ fenestrationMm2 }) => bareCell(fenestrationMm2))}
        ${row('bare in all, mm²', ({ inBone }) => bareCell(inBone.ofMm2 - inBone.areaMm2))}
      </tbody>
    </table>`
}

function marginCell(value: number | null, halfWidthMm: number, limitMm: number): TemplateResult {
  if (value === null) return html`<td>–</td>`
  return html`<td class=${value < limitMm ? 'below' : ''}><span class="value">${plain(value, 2)}</span><span class="quiet tolerance"> ±${plain(halfWidthMm, 2)}</span></td>`
}

/** Less than a twentieth of a millimetre is nothing at the digit shown. */
const bareCell = (value: number): TemplateResult =>
  html`<td class=${value >= 0.05 ? 'below' : ''}><span class="value">${plain(value, 1)}</span></td>`
