import { html, type TemplateResult } from 'lit'

/** Cautions below a result: the first one always, the others when they are asked for, and all of them in print. */
export function cautionLines(cautions: readonly string[]): TemplateResult {
  const [first = '', ...others] = cautions
  return html`<details class="cautions"><summary>${first} <span class="more">All cautions</span></summary>
      ${others.map((caution) => html`<p class="quiet">${caution}</p>`)}</details>
    <div class="cautions printed">${cautions.map((caution) => html`<p class="quiet">${caution}</p>`)}</div>`
}
