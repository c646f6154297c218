import type { Finding, FindingLevel } from '@alveometer/core'
import { css, html, LitElement, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'

const words: Readonly<Record<FindingLevel, string>> = {
  below: 'below',
  between: 'between',
  met: 'met',
  caution: 'caution',
  note: 'note',
}
const order: readonly FindingLevel[] = ['below', 'caution', 'between', 'note', 'met']

/** What there is to know about the plan, in words, what falls below a limit first; each opens to its source. */
export class AlvFindings extends LitElement {
  static override styles = [
    tokens,
    panel,
    css`
      ul {
        margin: 0;
        padding: 0;
        list-style: none;
      }
      li {
        break-inside: avoid;
        border-bottom: 1px solid var(--rule);
      }
      li summary {
        display: grid;
        grid-template-columns: 4.2rem 1fr;
        padding: 0.22rem 0;
        cursor: pointer;
        list-style: none;
      }
      .rest > summary {
        cursor: pointer;
        padding: 0.3rem 0;
      }
      li summary::-webkit-details-marker {
        display: none;
      }
      .level {
        font-size: var(--small);
        color: var(--ink-2);
        padding-top: 0.08rem;
      }
      .level.below {
        color: var(--below);
        font-weight: 600;
        text-decoration: underline;
        text-underline-offset: 2px;
      }
      @media print {
        ul {
          columns: 2;
          column-gap: 5mm;
        }
        .rest::details-content {
          content-visibility: visible;
        }
      }
      .source {
        padding: 0 0 0.35rem 4.2rem;
        font-size: var(--small);
        color: var(--ink-2);
      }
    `,
  ]

  @property({ attribute: false }) findings: readonly Finding[] = []

  override render(): TemplateResult {
    const sorted = [...this.findings].sort((a, b) => order.indexOf(a.level) - order.indexOf(b.level))
    const quiet = sorted.filter((f) => !isPressing(f))
    const pressing = sorted.filter(isPressing)
    return html`<h2>Findings</h2>
      ${sorted.length === 0 ? html`<p class="quiet">none yet</p>` : ''}
      <ul>${pressing.map(item)}</ul>
      ${quiet.length === 0 ? '' : html`<details class="rest" ?open=${pressing.length === 0}><summary class="quiet">${quiet.length} ${pressing.length === 0 ? '' : 'more '}met or noted</summary><ul>${quiet.map(item)}</ul></details>`}`
  }
}

const isPressing = (f: Finding): boolean => f.level !== 'met' && f.level !== 'note'

const item = (f: Finding): TemplateResult => html`<li><details>
    <summary><span class="level ${f.level}">${words[f.level]}</span><span>${f.text}</span></summary>
    <p class="source">${f.source === '' ? 'No source given.' : f.source} <code>${f.code}</code></p>
  </details></li>`
