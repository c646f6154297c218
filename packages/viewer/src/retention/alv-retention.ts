import type { RetentionFinding, RetentionWay, Sourced } from '@alveometer/core'
import { html, LitElement, nothing, svg, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'
import { retentionStyle } from './retention-style.js'

const ways: Readonly<Record<RetentionWay, string>> = {
  'screw-straight': 'Straight screw',
  'screw-angled': 'Angled screw',
  cemented: 'Cemented',
}
const words: Readonly<Record<RetentionFinding['verdict'], string>> = {
  open: 'open',
  reserve: 'with reserve',
  closed: 'closed',
}

/**
 * The ways of holding the crown in this position side by side: open, open with reserve or closed, with what was measured
 * that makes it less than open; all of it, and what speaks for and against each way, behind a disclosure. Nothing is
 * recommended.
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
        <thead><tr>${retention.map((found) => html`<th scope="col">${ways[found.way]}</th>`)}</tr></thead>
        <tbody><tr>${retention.map(
          (found) =>
            html`<td class=${found.verdict}><span class="verdict">${mark(found.verdict)}${words[found.verdict]}</span></td>`,
        )}</tr></tbody>
      </table>
      ${retention.map(pressing)}
      <details class="why">
        <summary>Why, for and against, with sources</summary>
        ${retention.map(
          (found) => html`<h3>${ways[found.way]}</h3>
            <dl>${found.because.length === 0 ? nothing : told('here', found.because)}${told('for', found.for)}${told('against', found.against)}</dl>`,
        )}
      </details>`
  }
}

/** What makes a way less than open. */
function pressing({ way, verdict, because }: RetentionFinding): TemplateResult | typeof nothing {
  const reasons = verdict === 'open' ? [] : because.filter((reason) => reason.verdict === verdict)
  return reasons.length === 0
    ? nothing
    : html`<p class="reason"><b>${ways[way]}:</b> ${reasons.map(({ text }) => text).join(' ')}</p>`
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
