import type { MissCloud, Percentiles } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import { deg, mm } from '../text/format.js'

/** How far placements end up from the plan: half of them, and 19 of 20. */
export function endsUp({ missed }: MissCloud): TemplateResult {
  const row = (name: string, { p50, p95 }: Percentiles, words: (value: number) => string): TemplateResult =>
    html`<tr><th scope="row">${name}</th><td>${words(p50)}</td><td>${words(p95)}</td></tr>`
  return html`<table class="ends">
    <caption>How far placements end up from the plan</caption>
    <thead><tr><th scope="col">away from the plan</th><th scope="col">half within</th><th scope="col">19 of 20 within</th></tr></thead>
    <tbody>${row('entry', missed.entryMm, (v) => mm(v, 1))}${row('apex', missed.apexMm, (v) => mm(v, 1))}${row('angle', missed.angleDeg, (v) => deg(v))}</tbody>
  </table>`
}
