import { type MarginResult, plusYSide } from '@alveometer/core'
import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { tell } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { deg, mm, mm2, mmTolerance, percent, plain } from '../text/format.js'

/**
 * The bone margin in numbers: the least radial and the least nearest distance with their tolerance and place, each
 * sector against its limit, and what lies bare.
 *
 * @fires alv-collar-depth the collar should go to the least margin.
 */
export class AlvMargin extends LitElement {
  static override styles = [
    tokens,
    panel,
    css`
      .pair {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 0.5rem;
        margin-bottom: 0.35rem;
      }
      .there {
        min-height: 1.5rem;
        padding: 0 0.4rem;
        font-size: var(--small);
      }
      .pair .big {
        font-size: calc(var(--text) + 0.1875rem);
        white-space: nowrap;
      }
      @media screen and (max-width: 1180px) {
        .pair .big {
          font-size: var(--text);
        }
      }
      .at {
        display: flex;
        gap: 0.5rem;
        align-items: center;
        justify-content: space-between;
      }
      .open {
        margin-top: 0.3rem;
        padding-left: 0.5rem;
        border-left: 4px solid var(--below);
      }
      td.below::after {
        content: ' ▾';
      }
    `,
  ]

  @property({ attribute: false }) margin: MarginResult | null = null
  /** ISO 3950, for the names of the sides. */
  @property() tooth = '11'

  override render(): TemplateResult {
    return html`<h2>Bone margin</h2>${this.#body()}`
  }

  #body(): TemplateResult {
    const { margin } = this
    if (margin === null) return html`<p class="quiet">not measured yet</p>`
    const open = Object.values(margin.sectors).reduce((sum, s) => sum + s.openRays, 0)
    return html`${this.#least(margin)}
      <table>
        <thead><tr><th>sector</th><th>least</th><th>mean</th><th>limit</th><th>below</th></tr></thead>
        <tbody>${Object.entries(margin.sectors).map(([name, s]) => {
          const low = s.minimumMm !== null && s.minimumMm < s.limitMm
          return html`<tr><td>${name}</td><td class=${low ? 'below' : ''}>${s.openRays > 0 && s.minimumMm !== null ? '≤ ' : ''}${number(s.minimumMm)}</td><td>${number(s.meanMm)}</td>
            <td>${plain(s.limitMm, 2)}</td><td>${s.belowLimitShare === null ? '–' : percent(s.belowLimitShare)}</td></tr>`
        })}</tbody>
      </table>
      ${margin.minimum === null ? nothing : html`<p class="quiet">mm, radial. Dehiscence ${mm(margin.dehiscenceMm, 1)} high, fenestration ${mm2(margin.fenestrationMm2)}${margin.exposureOpen ? ', or more' : ''}.</p>`}
      ${open > 0 ? html`<p class="open">On ${open} rays data is missing before the wanted margin: the bone may be less than measured (≤).</p>` : nothing}`
  }

  #least(margin: MarginResult): TemplateResult {
    const { minimum } = margin
    if (minimum === null) return html`<p>No ray round the fixture gives a number here.</p>`
    return html`<div class="pair">
        <p><span class="quiet">least, radial</span><br /><span class="big">${mmTolerance(minimum.radialMm, minimum.uncertaintyMm)}</span></p>
        <p><span class="quiet">least, nearest</span><br /><span class="big">${mmTolerance(minimum.nearestMm, minimum.uncertaintyMm)}</span></p>
      </div>
      <p class="quiet at">${mm(minimum.depthMm)} deep, ${this.#direction(minimum.angleDeg)}
        <button class="there" @click=${() => tell(this, 'alv-collar-depth', { depthMm: minimum.depthMm })}>show</button></p>`
  }

  /** "10° mesial of facial" */
  #direction(angleDeg: number): string {
    const signed = angleDeg > 180 ? angleDeg - 360 : angleDeg
    if (signed === 0) return 'facial'
    const plusY = plusYSide(this.tooth)
    const side = signed > 0 === (plusY === 'mesial') ? 'mesial' : 'distal'
    return `${deg(Math.abs(signed), 0)} ${side} of facial`
  }
}

const number = (value: number | null): string => (value === null ? '–' : plain(value, 2))
