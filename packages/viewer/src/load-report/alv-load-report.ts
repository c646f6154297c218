import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import type { EngineError } from '../engine/engine.js'
import type { Progress, ReportLine, SeriesChoice } from '../engine/protocol.js'
import { panel, tokens } from '../sheet/index.js'

const stages: Readonly<Record<string, string>> = {
  fetch: 'fetching the sample scan',
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

/**
 * What loading is doing, what it found and what it refused. While it works: stage, count and Cancel. After an error: the
 * file and the remedy, and that the scan before is still there. Where a pick holds several series: the choice.
 *
 * @fires alv-cancel-load stop the running load.
 * @fires alv-choose-series a series was chosen; detail {seriesUid}.
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
        overflow-wrap: anywhere;
      }
      ul {
        margin: 0.4rem 0 0;
        padding: 0;
        list-style: none;
        max-height: 14rem;
        overflow: auto;
      }
      li {
        display: grid;
        grid-template-columns: 4.5rem 1fr;
        padding: 0.15rem 0;
        border-bottom: 1px solid var(--rule);
        overflow-wrap: anywhere;
      }
      .choices {
        display: grid;
        gap: 0.35rem;
        margin: 0.5rem 0;
        justify-items: start;
      }
      .choices button {
        text-align: left;
      }
    `,
  ]

  @property({ attribute: false }) progress: Progress | null = null
  @property({ attribute: false }) fault: EngineError | null = null
  @property({ attribute: false }) report: readonly ReportLine[] = []
  @property({ attribute: false }) series: readonly SeriesChoice[] = []
  /** Whether a scan from before is still shown. */
  @property({ type: Boolean }) kept = false
  /** Whether the whole report is listed. */
  @property({ type: Boolean }) full = false

  override render(): TemplateResult {
    return html`${this.progress === null ? nothing : this.#working(this.progress)}
      ${this.fault === null ? nothing : this.#failed(this.fault)}
      ${this.full ? this.#lines(this.report) : nothing}`
  }

  #working({ stage, done, total }: Progress): TemplateResult {
    const name = stages[stage] ?? stage
    return html`<div class="row" role="status">
      <span>${name} ${total > 1 ? html`${done} of ${total}` : nothing}</span>
      <progress max=${Math.max(1, total)} .value=${done} aria-label=${name}></progress>
      <button @click=${() => this.#tell('alv-cancel-load')}>Cancel</button>
    </div>`
  }

  #failed(fault: EngineError): TemplateResult {
    const choose = fault.series.some((s) => s.usable)
    return html`<div class="error" role="alert">
        <p>${choose ? 'There are several series. Which one shall be opened?' : fault.message}</p>
        ${this.kept ? html`<p class="quiet">The scan opened before is still here, unchanged.</p>` : nothing}
      </div>
      ${
        choose
          ? html`<div class="choices">${fault.series.map(
              (
                s,
              ) => html`<button ?disabled=${!s.usable} @click=${() => this.#tell('alv-choose-series', { seriesUid: s.seriesUid })}>
              ${s.label}${s.usable ? '' : ' (cannot be measured)'}</button>`,
            )}</div>`
          : this.#lines(fault.report.filter((l) => !fault.message.startsWith(l.message)))
      }
      <button @click=${() => this.#tell('alv-dismiss')}>Close</button>`
  }

  #lines(lines: readonly ReportLine[]): TemplateResult {
    return html`<ul>${lines.map(
      (l) => html`<li><span class=${l.level === 'block' ? 'below' : 'quiet'}>${levels[l.level]}</span>
        <span>${l.message} <code class="quiet">${l.code}</code></span></li>`,
    )}</ul>`
  }

  #tell(name: string, detail: unknown = null): void {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }))
  }
}
