import type { DensityResult, DensityStatistics } from '@alveometer/core'
import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'
import { grey, percent } from '../text/format.js'

/** Grey values inside the fixture's body and in the 0.5 mm round it, whole, by thirds of the length and by sector. */
export class AlvDensity extends LitElement {
  static override styles = [
    tokens,
    panel,
    css`
      .range {
        white-space: normal;
      }
      details table {
        margin-top: 0.2rem;
      }
      summary {
        cursor: pointer;
        font-size: var(--small);
        color: var(--ink-2);
        padding: 0.2rem 0;
      }
    `,
  ]

  @property({ attribute: false }) density: DensityResult | null = null

  override render(): TemplateResult {
    const { density } = this
    const unit = density?.unit === 'grey value' || density === null ? 'grey value (not HU)' : density.unit
    return html`<h2>Density, ${unit}</h2>${density === null ? html`<p class="quiet">not measured yet</p>` : this.#body(density)}`
  }

  #body(density: DensityResult): TemplateResult {
    const { core, shell } = density.noDataShare
    return html`<table>
        ${head('')}
        <tbody>${row('body', density.core)}${row('0.5 mm shell', density.shell)}</tbody>
      </table>
      ${core > 0 || shell > 0 ? html`<p class="quiet">Left out, no data there: ${percent(core)} of the body, ${percent(shell)} of the shell.</p>` : nothing}
      <details>
        <summary>Shell by level and by sector</summary>
        <table>
          ${head('')}
          <tbody>
            ${Object.entries(density.shell?.levels ?? {}).map(([name, s]) => row(`${name} third`, s))}
            ${Object.entries(density.shell?.sectors ?? {}).map(([name, s]) => row(name, s))}
          </tbody>
        </table>
      </details>`
  }
}

const head = (name: string): TemplateResult =>
  html`<thead><tr><th>${name}</th><th>mean</th><th>median</th><th>5–95 %</th></tr></thead>`

const row = (name: string, s: DensityStatistics | null): TemplateResult =>
  s === null
    ? html`<tr><td>${name}</td><td colspan="3">outside the scan</td></tr>`
    : html`<tr><td>${name}</td><td>${grey(s.mean)}</td><td>${grey(s.median)}</td><td class="range">${grey(s.p5)}…<wbr>${grey(s.p95)}</td></tr>`
