import type { RetentionFinding, RetentionWay, Sourced } from '@alveometer/core'
import { html, LitElement, nothing, svg, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'
import { retentionStyle } from './retention-style.js'

const ways: Readonly<Record<RetentionWay, string>> = {
  'screw-straight': 'Screw, straight',
  'screw-angled': 'Screw, angled',
  cemented: 'Cemented',
}
const words: Readonly<Record<RetentionFinding['verdict'], string>> = {
  open: 'open',
  reserve: 'with reserve',
  closed: 'closed',
}

/**
 * The ways of holding the crown in this position: open, open with reserve or closed, each with what was measured that
 * makes it so; what speaks for and against each way, with sources, behind a disclosure. Nothing is recommended.
 */
export class AlvRetention extends LitElement {
  static override styles = [tokens, panel, retentionStyle]

  @property({ attribute: false }) retention: readonly RetentionFinding[] | null = null

  override render(): TemplateResult {
    const { retention } = this
    return html`<h2>Ways of holding the crown</h2>
      ${retention === null || retention.length === 0 ? html`<p class="quiet">not measured yet</p>` : this.#body(retention)}`
  }

  #body(retention: readonly RetentionFinding[]): TemplateResult {
    return html`<table>
        <tbody>${retention.map(
          (found) => html`<tr class=${found.verdict}>
            <th scope="row">${ways[found.way]}<span class="verdict">${mark(found.verdict)}${words[found.verdict]}</span></th>
            <td>${found.because.map((b) => html`<p title=${b.source}>${b.text}</p>`)}</td></tr>`,
        )}</tbody>
      </table>
      <details class="why">
        <summary>For and against, with sources</summary>
        ${retention.map(
          (found) => html`<h3>${ways[found.way]}</h3>
            <dl>${found.because.length === 0 ? nothing : told('here', found.because)}${told('for', found.for)}${told('against', found.against)}</dl>`,
        )}
      </details>`
  }
}

const told = (name: string, statements: readonly Sourced[]): TemplateResult => html`<div><dt>${name}</dt>
  <dd>${statements.map((s) => html`<p>${s.text} <span class="quiet">${s.source}</span></p>`)}</dd></div>`

/** A ring for open, half full for with reserve, a crossed ring for closed: told apart without any colour. */
function mark(verdict: RetentionFinding['verdict']): TemplateResult {
  const inside = {
    open: nothing,
    reserve: svg`<path class="full" d="M7 2a5 5 0 0 0 0 10z"></path>`,
    closed: svg`<path d="M3.5 3.5l7 7M10.5 3.5l-7 7"></path>`,
  }[verdict]
  return html`<svg class="mark" viewBox="0 0 14 14" aria-hidden="true"><circle cx="7" cy="7" r="5"></circle>${inside}</svg>`
}
