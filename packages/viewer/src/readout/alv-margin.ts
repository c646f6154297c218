import {
  type MarginResult,
  plusYSide,
  type RegionMargin,
  type SectorMargin,
  type ShownInterval,
  shownMm,
} from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { tell } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { mm, mmTolerance, percent, plain, tolerance } from '../text/format.js'
import { angleWords, modeWords } from '../text/words.js'
import { coverage } from './coverage.js'
import { factsStyle } from './facts-style.js'
import { marginStyle } from './margin-style.js'

const levels = ['coronal', 'middle', 'apical'] as const

/**
 * The bone margin in numbers: the least radial and the least nearest distance with their tolerance and place, each
 * sector and third against its limit, what lies bare, and how much of the fixture is in bone.
 *
 * @fires alv-collar-depth the collar should go to the least margin, or to what lies bare.
 */
export class AlvMargin extends LitElement {
  static override styles = [tokens, panel, factsStyle, marginStyle]

  @property({ attribute: false }) margin: MarginResult | null = null
  /** ISO 3950, for the names of the sides. */
  @property() tooth = '11'
  /** `moving` or `refining` while better numbers are to come. */
  @property() doing = ''

  override render(): TemplateResult {
    const { margin } = this
    return html`<h2 class="head"><span>Bone margin</span><span class="mode">${margin === null ? '' : modeWords(margin.mode, this.doing)}</span></h2>
      ${margin === null ? html`<p class="quiet">not measured yet</p>` : this.#body(margin)}`
  }

  #body(margin: MarginResult): TemplateResult {
    const open = Object.values(margin.sectors).reduce((sum, s) => sum + s.openRays, 0)
    return html`${this.#least(margin)}
      <table>
        <thead><tr><th>sector</th><th>least</th><th>mean</th><th>below</th><th>mm²</th></tr></thead>
        <tbody>${Object.entries(margin.sectors).map(([name, s]) => sectorRow(name, s, margin.interval))}</tbody>
      </table>
      <details class="why">
        <summary>mm, radial; limit ${limits(margin)}; ± at least ${plain(margin.interval.floorMm, 2)}</summary>
        <p class="quiet">${margin.interval.why} Below: share of the rays with a number, and area of the fixture's side.</p>
      </details>
      <details>
        <summary>By thirds of the length: least and mean</summary>
        <table class="thirds">
          <thead><tr><th></th>${levels.map((level) => html`<th>${level}</th>`)}</tr></thead>
          <tbody>${Object.entries(margin.sectors).map(
            ([name, s]) => html`<tr><td>${name}</td>${levels.map((level) => third(s.levels[level]))}</tr>`,
          )}
          <tr><td>all</td>${levels.map((level) => third(margin.levels[level]))}</tr></tbody>
        </table>
      </details>
      ${coverage(margin, (depthMm) => tell(this, 'alv-collar-depth', { depthMm }))}
      ${open > 0 ? html`<p class="open">On ${open} rays data is missing before the wanted margin: the bone may be less than measured (≤).</p>` : nothing}`
  }

  #least(margin: MarginResult): TemplateResult {
    const { minimum } = margin
    if (minimum === null) return html`<p>No ray round the fixture gives a number here.</p>`
    return html`<div class="pair">
        <p><span class="quiet">least, radial</span><br /><span class="big">${mmTolerance(minimum.radialMm, minimum.uncertaintyMm)}</span></p>
        <p><span class="quiet">least, nearest</span><br /><span class="big">${mmTolerance(minimum.nearestMm, minimum.uncertaintyMm)}</span></p>
      </div>
      <p class="quiet at">${mm(minimum.depthMm)} deep, ${angleWords(minimum.angleDeg, plusYSide(this.tooth))}
        <button class="there" @click=${() => tell(this, 'alv-collar-depth', { depthMm: minimum.depthMm })}>show</button></p>`
  }
}

function sectorRow(name: string, s: SectorMargin, interval: ShownInterval): TemplateResult {
  return html`<tr><td>${name}</td><td class=${isLow(s) ? 'below' : ''}>${least(s, interval)}</td><td>${number(s.meanMm)}</td>
    <td>${s.belowLimitShare === null ? '–' : percent(s.belowLimitShare)}</td><td>${s.belowLimitShare === null ? '–' : plain(s.belowLimitMm2, 1)}</td></tr>`
}

function least(s: RegionMargin, interval: ShownInterval): string {
  if (s.minimumMm === null) return '–'
  return `${s.openRays > 0 ? '≤ ' : ''}${tolerance(s.minimumMm, shownMm(interval, s.halfWidthMm ?? 0))}`
}

const third = (region: RegionMargin): TemplateResult =>
  html`<td class=${isLow(region) ? 'low' : ''}>${region.openRays > 0 && region.minimumMm !== null ? '≤ ' : ''}<span class="first">${number(region.minimumMm)}</span>${number(region.meanMm)}</td>`

const isLow = ({ minimumMm, limitMm }: RegionMargin): boolean => minimumMm !== null && minimumMm < limitMm

/** "1.00", or "1.50 facial, else 1.00". */
function limits({ sectors, levels: all }: MarginResult): string {
  const facial = sectors.facial?.limitMm
  const other = all.coronal.limitMm
  return facial === undefined || facial === other
    ? plain(other, 2)
    : `${plain(facial, 2)} facial, else ${plain(other, 2)}`
}

const number = (value: number | null): string => (value === null ? '–' : plain(value, 2))
