import { CAUTIONS, type ConfirmedGeometry } from '@alveometer/core'
import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import { property, query } from 'lit/decorators.js'
import type { ReportLine, ScanFacts } from '../engine/protocol.js'
import type { Explain } from '../load-report/alv-load-report.js'
import { panel, tokens } from '../sheet/index.js'
import { count, voxelSize } from '../text/format.js'
import { productName, productVersion, standing } from '../text/words.js'

/**
 * The title block along the foot (after ISO 7200): which scan, at what scale and unit, what to bear in mind, and what
 * this program is. Opens the cautions and the load report.
 */
export class AlvTitleBlock extends LitElement {
  static override styles = [
    tokens,
    panel,
    css`
      :host {
        display: block;
      }
      dl {
        display: flex;
        flex-wrap: wrap;
        margin: 0;
        border: 1px solid var(--frame);
        background: var(--panel);
      }
      dl > div {
        flex: 1 1 auto;
        padding: 0.2rem 0.6rem 0.25rem;
        border-left: 1px solid var(--frame);
        margin-left: -1px;
        min-width: 0;
      }
      dt {
        font-size: 0.6875rem;
        color: var(--ink-2);
      }
      dd {
        margin: 0;
        white-space: nowrap;
        overflow: hidden;
        text-overflow: ellipsis;
      }
      .scan {
        flex: 1 1 9rem;
        max-width: 20rem;
      }
      .standing {
        flex: 2 1 14rem;
      }
      .confirmed {
        box-shadow: inset 0 3px var(--below);
      }
      button.link {
        border: 0;
        padding: 0;
        min-height: 1.5rem;
        background: none;
        text-align: left;
        text-decoration: underline;
        text-underline-offset: 2px;
      }
      button.link:hover:not(:disabled) {
        background: none;
        color: var(--hand);
      }
      dialog {
        max-width: 42rem;
        max-height: 80vh;
        padding: 1.25rem 1.5rem;
        overflow-wrap: anywhere;
        border: 1px solid var(--frame);
        background: var(--panel);
        color: var(--ink);
      }
      dialog::backdrop {
        background: rgb(0 0 0 / 0.45);
      }
      dialog > button,
      dialog > .quiet {
        margin-top: 0.75rem;
      }
      dialog li {
        margin: 0.35rem 0;
      }
      .standing dd {
        white-space: normal;
      }
      .printed {
        display: none;
      }
      @media print {
        dl {
          flex-wrap: nowrap;
        }
        dl > div {
          padding: 0.5mm 1.5mm;
        }
        dd {
          white-space: normal;
        }
        button.link {
          min-height: 0;
        }
        .printed {
          display: block;
          margin: 2mm 0 0;
          padding-left: 4mm;
          columns: 2;
          column-gap: 8mm;
          font-size: var(--small);
        }
        .printed li {
          break-inside: avoid;
          margin-bottom: 0.6mm;
        }
        button.link {
          text-decoration: none;
        }
      }
      @media screen and (max-width: 1180px) {
        .spare {
          display: none;
        }
      }
      @media screen and (max-width: 600px) {
        dl > div {
          padding: 0.15rem 0.5rem;
        }
        .wide {
          display: none;
        }
      }
    `,
  ]

  @property({ attribute: false }) facts: ScanFacts | null = null
  @property({ attribute: false }) report: readonly ReportLine[] = []
  @property({ attribute: false }) explain: Explain | null = null
  @query('dialog.cautions') private cautionsDialog?: HTMLDialogElement
  @query('dialog.report') private reportDialog?: HTMLDialogElement

  override render(): TemplateResult {
    const { facts, report } = this
    const warnings = report.filter((l) => l.level === 'warn').length
    return html`<dl>
        <div class="scan"><dt>scan</dt><dd title=${facts?.seriesUid ?? ''}>${facts === null ? 'none' : facts.name}</dd></div>
        <div class="voxel"><dt>voxel, mm</dt><dd>${facts === null ? '–' : voxelSize(facts.spacingMm)}${isHalf(facts) ? html` <strong>half resolution</strong>` : nothing}</dd></div>
        ${
          facts?.confirmed
            ? html`<div class="confirmed"><dt>not from the file</dt><dd>${handMade(facts.confirmed)}: <strong>confirmed by hand</strong></dd></div>`
            : nothing
        }
        <div class="wide ${facts?.confirmed ? 'spare' : ''}"><dt>size, voxels</dt><dd>${facts === null ? '–' : facts.shape.join(' × ')}</dd></div>
        <div><dt>grey unit</dt><dd>${facts === null ? '–' : unit(facts)}</dd></div>
        <div><dt>load report</dt><dd><button class="link" ?disabled=${facts === null} @click=${() => this.reportDialog?.showModal()}>
          ${warnings === 0 ? 'no warnings' : count(warnings, 'warning')}</button></dd></div>
        <div class="standing"><dt>${productName} ${productVersion}</dt><dd>
          <button class="link" @click=${() => this.cautionsDialog?.showModal()}>${standing}</button></dd></div>
      </dl>
      <ul class="printed" aria-label="Cautions">${(facts?.remarks ?? [])
        .filter((r) => r.level === 'warn')
        .map(
          (r) => html`<li><strong>Scan: ${r.text}.</strong></li>`,
        )}${CAUTIONS.map((c) => html`<li>${c}</li>`)}</ul>
      <dialog class="cautions" aria-label="Cautions">
        <h2>Bear in mind</h2>
        <ul>${CAUTIONS.map((c) => html`<li>${c}</li>`)}</ul>
        <button @click=${close}>Close</button>
      </dialog>
      <dialog class="report" aria-label="Load report">
        <h2>Load report</h2>
        ${report.length === 0 ? html`<p>Nothing to report.</p>` : nothing}
        <alv-load-report full .report=${report} .explain=${this.explain}></alv-load-report>
        <p class="quiet">${facts === null ? '' : `Series ${facts.seriesUid}`}</p>
        <button @click=${close}>Close</button>
      </dialog>`
  }
}

const close = (event: Event): void => (event.target as Element).closest('dialog')?.close()

const isHalf = (facts: ScanFacts | null): boolean =>
  facts?.remarks.some((r) => r.code === 'half-resolution') ?? false

/** What of the geometry does not come from the file. */
const handMade = ({ pixelSpacingMm, sliceStepMm, orientation }: ConfirmedGeometry): string =>
  [
    pixelSpacingMm ? 'pixel size' : '',
    sliceStepMm === undefined ? '' : 'slice distance',
    orientation ? 'sides' : '',
  ]
    .filter(Boolean)
    .join(', ')

const unit = ({ unit: name }: ScanFacts): string =>
  name === 'grey value' ? 'grey value, not calibrated' : name
