import type { CellDensity, DensityResult, PartDensity } from '@alveometer/core'
import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'
import { grey, percent } from '../text/format.js'
import { bandSources, densityInHu } from './density-in-hu.js'
import { depthProfile, depthProfileStyle } from './depth-profile.js'

const levels = ['coronal', 'middle', 'apical'] as const

/**
 * Grey values inside the fixture's body and in the 0.5 mm round it: whole, in bone, cortical and cancellous, along the
 * depth, by thirds of the length and by sector. In Hounsfield units too, with published classes, where the plan
 * calibrates them.
 */
export class AlvDensity extends LitElement {
  static override styles = [
    tokens,
    panel,
    depthProfileStyle,
    css`
      :host {
        display: block;
        container-type: inline-size;
      }
      @container (min-width: 32rem) {
        .whole {
          display: grid;
          grid-template-columns: minmax(0, 1fr) minmax(0, 18rem);
          gap: 0 1.5rem;
          align-items: start;
        }
      }
      .range {
        white-space: normal;
      }
      th,
      td {
        padding-right: 0.3rem;
      }
      tr.of > td:first-child {
        padding-left: 0.5rem;
      }
      tr.of td {
        font-size: var(--small);
        color: var(--ink-2);
      }
      .places td:first-child,
      .wrap td {
        white-space: normal;
      }
      h3 {
        margin: 0.6rem 0 0.2rem;
        font-size: var(--small);
        font-weight: 600;
        color: var(--ink-2);
      }
      details table {
        margin-top: 0.2rem;
      }
      .cells td {
        font-size: var(--small);
      }
      details p,
      .says {
        margin-top: 0.25rem;
        font-size: var(--small);
        color: var(--ink-2);
      }
      @media print {
        .why::details-content {
          content-visibility: visible;
        }
      }
      summary {
        cursor: pointer;
        font-size: var(--small);
        color: var(--ink-2);
        padding: 0.2rem 0;
      }
      ul {
        margin: 0.2rem 0 0;
        padding-left: 1rem;
        font-size: var(--small);
        color: var(--ink-2);
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
    const { core, shell, noDataShare } = density
    return html`<div class="whole">
        <table>
          ${head}
          <tbody>${partRows('body', core)}${partRows('0.5 mm shell', shell)}</tbody>
        </table>
        <div>${depthProfile(density) ?? nothing}</div>
      </div>
      ${(noDataShare.core > 0 || noDataShare.shell > 0) && (core ?? shell) !== null ? html`<p class="says">Left out, no data there: ${lost(noDataShare.core)} of the body, ${lost(noDataShare.shell)} of the shell.</p>` : nothing}
      ${densityInHu(density) ?? nothing}
      ${core === null && shell === null ? nothing : how(density)}
      ${[core, shell].map((part, n) =>
        part === null
          ? nothing
          : html`<details>
            <summary>${n === 0 ? 'Body' : 'Shell'} by thirds of the length and by sector</summary>
            ${places(part)}${cells(part)}
          </details>`,
      )}`
  }
}

const head = html`<thead><tr><th></th><th>mean</th><th>median</th><th>5–95\u2009%</th></tr></thead>`

const NONE = 'outside the scan or no data'

const row = (name: string, s: CellDensity | null, of = ''): TemplateResult =>
  s === null
    ? html`<tr class=${of}><td>${name}</td><td colspan="3" class="range">${NONE}</td></tr>`
    : html`<tr class=${of}><td>${name}</td><td>${grey(s.mean)}</td><td>${grey(s.median)}</td><td class="range">${grey(s.p5)}…<wbr>${grey(s.p95)}</td></tr>`

/** The whole, and what of it lies in bone, apart by kind; shares are those of the whole's volume. */
function partRows(name: string, part: PartDensity | null): TemplateResult {
  if (part === null) return row(name, null)
  const kind = (what: string, s: CellDensity | null) =>
    s === null ? nothing : row(`${what} ${percent(s.volumeMm3 / part.volumeMm3)}`, s, 'of')
  return html`${row(name, part)}
    ${part.boneShare > 0.995 ? nothing : html`<tr class="of"><td>in bone ${percent(part.boneShare)}</td><td>${part.boneMean === null ? '–' : grey(part.boneMean)}</td><td></td><td></td></tr>`}
    ${kind('cortical', part.cortical)}${kind('cancellous', part.cancellous)}`
}

/** On one line how the numbers came about, more of it when it is opened. */
function how(density: DensityResult): TemplateResult {
  const { calibrated, core, shell } = density
  const part = shell ?? core
  const line =
    calibrated === null
      ? 'Not calibrated'
      : `HU = ${calibrated.slope.toPrecision(4)} × grey ${calibrated.intercept < 0 ? '\u2212' : '+'} ${grey(Math.abs(calibrated.intercept))}, through ${calibrated.points.length} points`
  const beyond = core?.hu?.beyondPoints || shell?.hu?.beyondPoints ? ', means beyond them' : ''
  return html`<details class="why">
      <summary>${line}${beyond}; cortical told by ${part?.split === 'plate' ? 'the fitted plate' : 'grey value'}</summary>
      <p>${calibrated?.text ?? 'Grey values of a cone-beam scan differ between scanners and from place to place: compare them within this scan only.'}</p>
      <p>${
        part?.split === 'plate'
          ? `Cortical is what lies within the plate fitted behind each ray (${percent(part.plateShare)} of the bone), and by grey value elsewhere.`
          : 'Cortical is what is brighter than the middle between soft tissue and cortical bone in this scan: blurred thin plates count as cancellous.'
      }</p>
      ${bandSources(density) ?? nothing}
    </details>`
}

const places = (part: PartDensity): TemplateResult => html`<table class="places">
    ${head}
    <tbody>
      ${levels.map((level) => place(`${level} third`, part.levels[level]))}
      ${Object.entries(part.sectors).map(([name, s]) => place(name, s))}
    </tbody>
  </table>`

const place = (name: string, s: CellDensity | null): TemplateResult =>
  row(s === null || s.noDataShare === 0 ? name : `${name}, ${lost(s.noDataShare)} no data`, s)

/** A share that is not nothing is not told as 0 %. */
const lost = (share: number): string => (share > 0 && share < 0.005 ? '< 1\u2009%' : percent(share))

const cells = (part: PartDensity): TemplateResult => html`<table class="cells">
    <thead><tr><th>mean, in bone</th>${levels.map((level) => html`<th>${level}</th>`)}</tr></thead>
    <tbody>${Object.entries(part.sectors).map(
      ([name, s]) =>
        html`<tr><td>${name}</td>${levels.map((level) => html`<td>${cell(s?.levels[level] ?? null)}</td>`)}</tr>`,
    )}</tbody>
  </table>`

const cell = (s: CellDensity | null): string =>
  s === null ? '–' : `${grey(s.mean)}, ${s.boneMean === null ? '–' : grey(s.boneMean)}`
