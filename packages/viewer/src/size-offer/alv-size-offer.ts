import { column, fromRows, type Vec3 } from '@alveometer/core'
import type { IndexBox, SeriesSummary, SizeOffer } from '@alveometer/scan'
import { html, LitElement, nothing, type PropertyValues, svg, type TemplateResult } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import { paintThumbnail } from '../drawing/thumbnail.js'
import { tell } from '../events.js'
import { panel, questionSheet, tokens } from '../sheet/index.js'
import { megabytes, plain, voxelSize } from '../text/format.js'
import { oppositeOf, sideOf } from '../text/sides.js'
import { offerStyle } from './offer-style.js'
import { least, middlePart, type Part, partOf } from './part.js'

type End = 'from' | 'to'
const axes = ['columns', 'rows', 'slices'] as const

/**
 * A scan that does not fit the memory at hand: load it at half resolution, or only a box of its voxels, with what
 * either comes to in millimetres and megabytes.
 *
 * @fires alv-reduce how it shall be loaded.
 * @fires alv-leave not at all.
 */
export class AlvSizeOffer extends LitElement {
  static override styles = [tokens, panel, questionSheet, offerStyle]

  @property({ attribute: false }) series: SeriesSummary | null = null
  @property({ attribute: false }) offer: SizeOffer | null = null
  @state() private box: IndexBox = { from: [0, 0, 0], to: [0, 0, 0] }
  @state() private half = false
  @query('canvas') private canvas?: HTMLCanvasElement
  @query('button.load') private firstButton?: HTMLButtonElement

  override focus(): void {
    this.firstButton?.focus()
  }

  override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('offer') || this.offer === null) return
    this.box = middlePart(this.offer)
    this.half = false
  }

  override render(): TemplateResult {
    const { offer, series } = this
    if (offer === null || series === null) return html``
    return html`<section aria-label="Too large to open whole">
      <div class="head"><h2>Too large to open whole</h2>
        <button @click=${() => tell(this, 'alv-leave', null)}>Back</button></div>
      <p class="lead"><b>${series.description || 'The scan'}</b> has ${offer.shape.join(' × ')} voxels of ${voxelSize(offer.spacingMm)}\u202fmm
        and needs ${megabytes(offer.neededBytes)}; ${megabytes(offer.budgetBytes)} may be used on this device.</p>
      <div class="ways">${this.#halfWay(offer)}${this.#partWay(offer, series)}</div>
    </section>`
  }

  override updated(): void {
    if (this.canvas) paintThumbnail(this.canvas, this.series?.thumbnail)
  }

  #halfWay({ half }: SizeOffer): TemplateResult {
    return html`<div class="way">
      <h3>Half resolution</h3>
      ${
        half === null
          ? html`<p>Even at half resolution it is too large. Load a part of it.</p>`
          : html`<p class="big">voxels ${voxelSize(half.spacingMm)}\u202fmm, ${megabytes(half.bytes)}</p>
            <p class="quiet">The whole scan, each voxel the mean of 2 × 2 × 2. Thin bone is seen less well, and the
              load report and every number say so.</p>
            <button class="load" @click=${() => tell(this, 'alv-reduce', { half: true })}>Load at half resolution</button>`
      }
    </div>`
  }

  #partWay(offer: SizeOffer, series: SeriesSummary): TemplateResult {
    const part = partOf(offer, this.box, this.half)
    return html`<div class="way part">
      <h3>Only a part</h3>
      <div class="choice">
        ${series.thumbnail === undefined ? nothing : this.#picture(offer)}
        <div class="fields">
          <span></span><span class="quiet">first</span><span class="quiet">last</span><span class="quiet">runs from</span>
          ${axes.map((name, n) => this.#fields(name, n, offer, runsTo(series, n)))}
        </div>
      </div>
      <label class="check"><input type="checkbox" .checked=${this.half} @change=${(e: Event) => {
        this.half = (e.target as HTMLInputElement).checked
      }} /> at half resolution as well</label>
      ${this.#outcome(part)}
      <button class="load" ?disabled=${part.problem !== null} @click=${() => tell(this, 'alv-reduce', { half: part.half, region: part.box })}>Load this part</button>
    </div>`
  }

  #outcome({ sizeMm, voxelMm, bytes, half, problem }: Part): TemplateResult {
    if (problem === 'no-box')
      return html`<p class="outcome" role="status"><strong class="below">Not ${least(half)} or more voxels along each side of the scan.</strong></p>`
    return html`<p class="outcome" role="status">
      <span class="big">${sizeMm.map((s) => plain(s, 1)).join(' × ')}\u202fmm, ${megabytes(bytes)}</span>
      voxels ${voxelSize(voxelMm)}\u202fmm ${problem === null ? nothing : html`<strong class="below">still too large</strong>`}</p>`
  }

  /** Voxels are counted from 1 here, both ends included. */
  #fields(name: string, axis: number, offer: SizeOffer, side: string): TemplateResult {
    const field = (end: End): TemplateResult => {
      const value = (this.box[end][axis] as number) + (end === 'from' ? 1 : 0)
      return html`<input type="number" min="1" max=${offer.shape[axis] as number} step="1" .value=${String(value)}
        aria-label="${name}, ${end === 'from' ? 'first' : 'last'}" autocomplete="off"
        @input=${(e: Event) => this.#typed(axis, end, (e.target as HTMLInputElement).valueAsNumber)} />`
    }
    return html`<span>${name}</span>${field('from')}${field('to')}<span class="quiet">${side}</span>`
  }

  #typed(axis: number, end: End, value: number): void {
    const corner = [...this.box[end]] as [number, number, number]
    corner[axis] = end === 'from' ? value - 1 : value
    this.box = { ...this.box, [end]: corner }
  }

  /** The middle slice with the box on it, and beside it which slices. */
  #picture({ shape }: SizeOffer): TemplateResult {
    const { from, to } = this.box
    const part = (n: 0 | 1 | 2, end: Vec3): string =>
      `${Math.min(100, Math.max(0, (100 * (end[n] || 0)) / shape[n]))}`
    const side = (n: 0 | 1 | 2): string => String(Math.max(0, Number(part(n, to)) - Number(part(n, from))))
    return html`<div class="picture" aria-hidden="true">
        <canvas></canvas>
        <svg viewBox="0 0 100 100" preserveAspectRatio="none">${svg`<rect class="cas" x=${part(0, from)} y=${part(1, from)} width=${side(0)} height=${side(1)}></rect><rect x=${part(0, from)} y=${part(1, from)} width=${side(0)} height=${side(1)}></rect>`}</svg>
      </div>
      <svg class="slices" viewBox="0 0 10 100" preserveAspectRatio="none" aria-hidden="true">
        <rect class="whole" x="0" y="0" width="10" height="100"></rect>
        <rect class="some" x="0" y=${part(2, from)} width="10" height=${side(2)}></rect>
      </svg>`
  }
}

/** Towards which side the indices of an axis run, where the file says so: "towards Left". */
function runsTo({ indexToWorld }: SeriesSummary, axis: number): string {
  if (indexToWorld === null) return ''
  const side = sideOf(column(fromRows(indexToWorld), axis as 0 | 1 | 2))
  return `${oppositeOf(side)} to ${side}`
}
