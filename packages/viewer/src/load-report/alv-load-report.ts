import { REPORT_CODES, type ReportCode } from '@alveometer/scan'
import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { EngineError } from '../engine/engine-error.js'
import type { Progress, ReportLine } from '../engine/protocol.js'
import { tell } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { megabytes } from '../text/format.js'
import { showMarkdown } from './plain-markdown.js'

const stages: Readonly<Record<string, string>> = {
  fetch: 'fetching the scan',
  headers: 'reading headers',
  pixels: 'reading slices',
  blur: 'smoothing out noise',
  levels: 'finding the grey levels of bone and soft tissue',
  calibration: 'finding the grey levels of bone and soft tissue',
  outside: 'separating bone from its surroundings',
}
const levels: Readonly<Record<ReportLine['level'], string>> = {
  block: 'refused',
  warn: 'warning',
  note: 'note',
}
const order: readonly ReportLine['level'][] = ['block', 'warn', 'note']

/** What is known about a code, as Markdown; an empty text when there is nothing beyond its few words. */
export type Explain = (code: string) => Promise<string>

/**
 * What loading is doing, what it found and what it refused. While it works: stage, count and Cancel. After an error: the
 * file and the remedy, and that the scan before is still there. Each line opens to what its code means.
 *
 * @fires alv-cancel-load stop the running load.
 * @fires alv-dismiss the error was read.
 */
export class AlvLoadReport extends LitElement {
  static override styles = [
    tokens,
    panel,
    css`
      :host {
        display: block;
      }
      .row {
        display: flex;
        gap: 0.75rem;
        align-items: center;
        flex-wrap: wrap;
      }
      progress {
        flex: 1;
        min-width: 6rem;
        height: 0.6rem;
        accent-color: var(--ink);
      }
      .error {
        border-left: 4px solid var(--below);
        padding: 0.1rem 0 0.1rem 0.75rem;
        margin-bottom: 0.5rem;
        overflow-wrap: anywhere;
      }
      .lines {
        margin: 0;
        padding: 0;
        list-style: none;
      }
      .lines > li {
        border-bottom: 1px solid var(--rule);
      }
      .lines > li:last-child {
        border-bottom: 0;
      }
      summary {
        display: grid;
        grid-template-columns: 4.5rem 1fr auto;
        gap: 0 0.5rem;
        padding: 0.3rem 0;
        cursor: pointer;
        list-style: none;
        overflow-wrap: anywhere;
      }
      .cause > summary {
        display: block;
      }
      summary::-webkit-details-marker {
        display: none;
      }
      .level {
        color: var(--ink-2);
        font-size: var(--small);
        padding-top: 0.1rem;
      }
      .level.block {
        color: var(--below);
        font-weight: 600;
      }
      .level.warn {
        color: var(--ink);
        font-weight: 600;
      }
      .more {
        color: var(--ink-2);
        font-size: var(--small);
        padding-top: 0.1rem;
        white-space: nowrap;
        text-decoration: underline;
        text-underline-offset: 2px;
      }
      summary:hover .more {
        color: var(--hand);
      }
      .meaning {
        padding: 0.1rem 0 0.6rem 5rem;
        max-width: 46rem;
      }
      .meaning p,
      .meaning ul,
      .meaning ol,
      .meaning pre {
        margin: 0 0 0.4rem;
      }
      .meaning ul,
      .meaning ol {
        padding-left: 1.1rem;
      }
      .meaning strong {
        font-size: var(--small);
        letter-spacing: 0.02em;
        color: var(--ink-2);
      }
      .meaning pre {
        overflow-x: auto;
      }
      @media screen and (max-width: 600px) {
        summary {
          grid-template-columns: 1fr auto;
        }
        summary > :nth-child(2) {
          grid-area: 2 / 1 / 3 / 3;
        }
        .meaning {
          padding-left: 0.75rem;
        }
      }
    `,
  ]

  @property({ attribute: false }) progress: Progress | null = null
  @property({ attribute: false }) fault: EngineError | null = null
  @property({ attribute: false }) report: readonly ReportLine[] = []
  /** Looks up what a code means; its few words stand alone without. */
  @property({ attribute: false }) explain: Explain | null = null
  /** Whether a scan from before is still shown. */
  @property({ type: Boolean }) kept = false
  /** Whether the whole report is listed. */
  @property({ type: Boolean }) full = false
  @state() private meanings: Readonly<Record<string, string>> = {}

  override render(): TemplateResult {
    return html`${this.progress === null ? nothing : this.#working(this.progress)}
      ${this.fault === null ? nothing : this.#failed(this.fault)}
      ${this.full ? this.#lines(this.report) : nothing}`
  }

  #working(progress: Progress): TemplateResult {
    const { stage, done, total } = progress
    const name = stages[stage] ?? stage
    return html`<div class="row" role="status">
      <span>${name} ${counted(progress)}</span>
      <progress max=${Math.max(1, total)} .value=${done} aria-label=${name}></progress>
      <button @click=${() => tell(this, 'alv-cancel-load', null)}>Cancel</button>
    </div>`
  }

  #failed(fault: EngineError): TemplateResult {
    const cause = fault.report.find((l) => fault.message.startsWith(l.message))
    return html`<div class="error" role="alert">
        <p>${fault.message}</p>
        ${this.kept ? html`<p class="quiet">The scan opened before is still here, unchanged.</p>` : nothing}
      </div>
      ${
        cause === undefined
          ? nothing
          : html`<details class="cause" @toggle=${() => this.#look(cause.code)}>
              <summary><span class="more">what is this?</span></summary>${this.#meaning(cause.code)}</details>`
      }
      ${this.#lines(fault.report.filter((l) => l !== cause))}
      <button @click=${() => tell(this, 'alv-dismiss', null)}>Close</button>`
  }

  #lines(lines: readonly ReportLine[]): TemplateResult {
    const sorted = [...lines].sort((a, b) => order.indexOf(a.level) - order.indexOf(b.level))
    return html`<ul class="lines">${sorted.map(
      (l) => html`<li><details @toggle=${() => this.#look(l.code)}>
        <summary><span class="level ${l.level}">${levels[l.level]}</span><span>${l.message}</span><span class="more">what is this?</span></summary>
        ${this.#meaning(l.code)}
      </details></li>`,
    )}</ul>`
  }

  #meaning(code: ReportCode): TemplateResult {
    return html`<div class="meaning">${showMarkdown(this.meanings[code] ?? '…')}<p class="quiet"><code>${code}</code></p></div>`
  }

  async #look(code: ReportCode): Promise<void> {
    if (this.meanings[code] !== undefined) return
    let text = ''
    try {
      text = (await this.explain?.(code)) ?? ''
    } catch {
      // The page of explanations cannot be had; the few words have to do.
    }
    const words: string = REPORT_CODES[code] ?? ''
    this.meanings = { ...this.meanings, [code]: text.trim() === '' ? words : text }
  }
}

/** "3 of 9", bytes as "12 MB of 48 MB", or nothing where there is nothing to count yet. */
function counted({ stage, done, total }: Progress): string {
  if (stage === 'fetch') {
    if (done === 0) return ''
    return total > done ? `${megabytes(done)} of ${megabytes(total)}` : megabytes(done)
  }
  return total > 1 ? `${done} of ${total}` : ''
}
