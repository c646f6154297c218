import { guidedError, type LimitsCounted, type MissCloud, type PlacementError } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, svg, type TemplateResult } from 'lit'
import { property, state } from 'lit/decorators.js'
import { tell } from '../events.js'
import { fieldsStyle } from '../placement/fields-style.js'
import { panel, tokens } from '../sheet/index.js'
import { cautionLines } from '../text/cautions.js'
import { plain } from '../text/format.js'
import { wayName } from '../ways-out/way-words.js'
import { cloudStyle } from './cloud-style.js'
import { endsUp } from './ends-up.js'
import { errorChoice } from './error-choice.js'
import { headline } from './headline.js'
import { limitRows } from './limit-rows.js'

/**
 * The plan under placement error: how often all of its limits hold, how exact a placement must be to keep them, and each
 * limit's own chance with the spread of its value, least likely first.
 *
 * @fires alv-placement-error another error is wanted
 * @fires alv-limits-counted other limits are to count
 */
export class AlvMissCloud extends LitElement {
  static override styles = [tokens, panel, fieldsStyle, cloudStyle]

  @property({ attribute: false }) cloud: MissCloud | null = null
  /** The cloud is of an earlier plan. */
  @property({ type: Boolean, reflect: true }) stale = false
  /** Placements are being drawn. */
  @property({ type: Boolean, reflect: true }) busy = false
  /** The error that was asked for, until a cloud is made with it. */
  @state() private asked: PlacementError | null = null
  @state() private askedCounted: LimitsCounted | null = null

  override render(): TemplateResult {
    const { cloud } = this
    const error = this.asked ?? cloud?.error ?? guidedError()
    return html`<div class="title"><h2>Miss cloud</h2>${this.#note()}</div>
      <div class="error">${errorChoice(error, this.#choose)}${this.#countedChoice()}</div>
      ${
        cloud === null
          ? html`<p class="quiet" role="status">${this.busy ? 'placements are being drawn' : 'not drawn yet'}</p>`
          : this.#body(cloud)
      }`
  }

  #note(): TemplateResult | typeof nothing {
    const { cloud, busy } = this
    if (cloud !== null && !cloud.complete)
      return html`<span class="quiet" role="status">first placements, more are drawn</span>`
    return busy && cloud !== null ? html`<span class="quiet" role="status">being drawn anew</span>` : nothing
  }

  /** The window of depth is narrower than any placement is exact: it would drown the rest. */
  #countedChoice(): TemplateResult {
    const counted = this.askedCounted ?? this.cloud?.counted ?? 'all'
    const choice = (which: LimitsCounted, name: string): TemplateResult =>
      html`<button aria-pressed=${which === counted} @click=${() => this.#count(which)}>${name}</button>`
    return html`<div class="counted"><span class="quiet">limits that count</span>${choice('all', 'all')}${choice('bone-and-access', 'bone and access')}</div>`
  }

  #count(counted: LimitsCounted): void {
    this.askedCounted = counted
    tell(this, 'alv-limits-counted', { counted })
  }

  #body(cloud: MissCloud): TemplateResult {
    return html`<div class="measured">
      <svg class="defs" aria-hidden="true">${svg`<defs><pattern id="failing" width="4" height="4" patternUnits="userSpaceOnUse"
        patternTransform="rotate(45)"><line class="failing-line" x1="2" y1="0" x2="2" y2="4"></line></pattern></defs>`}</svg>
      <div class="head" role="status">${headline(cloud)}</div>
      ${limitRows(cloud)}
      <p class="keys"><span class="key"><svg class="swatch" viewBox="0 0 18 10" aria-hidden="true"><path class="failing" d="M0,0h18v10h-18Z"></path>
        <path class="failing-hatch" fill="url(#failing)" d="M0,0h18v10h-18Z"></path></svg>missed</span>
        <span class="key"><svg class="swatch" viewBox="0 0 18 10" aria-hidden="true"><path class="limit" d="M9,0V10"></path></svg>limit</span>
        <span class="key"><svg class="swatch" viewBox="0 0 18 10" aria-hidden="true"><path class="planned" d="M9,2l-4,6h8Z"></path></svg>planned</span></p>
      ${endsUp(cloud)}
      ${cautionLines(cloud.cautions)}
      ${details(cloud)}
    </div>`
  }

  readonly #choose = (error: PlacementError): void => {
    this.asked = error
    tell(this, 'alv-placement-error', error)
  }

  override willUpdate(changed: PropertyValues<this>): void {
    const { asked, cloud } = this
    if (changed.has('cloud') && asked !== null && cloud !== null && sameError(asked, cloud.error))
      this.asked = null
    if (changed.has('cloud') && cloud !== null && cloud.counted === this.askedCounted)
      this.askedCounted = null
  }
}

const sameError = (a: PlacementError, b: PlacementError): boolean => JSON.stringify(a) === JSON.stringify(b)

function details({ way, error, surfaceSdMm, draws, seed }: MissCloud): TemplateResult {
  const { facial, mesial, apical } = error.entrySdMm
  return html`<details>
    <summary>What is drawn</summary>
    <p class="quiet">Held to the limits of: ${wayName(way)}. ${draws.toLocaleString('en')} placements, each moved and turned as one
      body about its entry: standard deviations ${plain(facial, 2)}\u202fmm facial to oral, ${plain(mesial, 2)}\u202fmm mesial to distal,
      ${plain(apical, 2)}\u202fmm along the axis, ${plain(error.tiltSdDeg, 2)}° about each of two axes across it,
      correlation ${plain(error.correlation, 2)}. ${
        surfaceSdMm > 0
          ? `The bone's surface is shifted as a whole in each, ${plain(surfaceSdMm, 2)}\u202fmm (standard deviation).`
          : 'The bone\u2019s surface is taken as measured.'
      } Seed ${seed}: the same seed draws the same placements.</p>
  </details>`
}
