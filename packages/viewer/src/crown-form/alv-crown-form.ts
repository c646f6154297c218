import { type CrownMarks, type PlacedCrown, type Plan, sizeOf } from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property, state } from 'lit/decorators.js'
import { type NeighbourPlace, tell } from '../events.js'
import { fieldsStyle } from '../placement/fields-style.js'
import { numberFields } from '../placement/number-fields.js'
import { markCrown, markNeighbour, setCrownSize, tabulatedThere } from '../session/index.js'
import { panel, tokens } from '../sheet/index.js'
import { mm } from '../text/format.js'
import { channelFields, channelSources } from './channel-fields.js'
import { crownSource } from './crown-source.js'
import { formStyle } from './form-style.js'
import { type FittedGap, fittedToGap, gapPlaces, placeKey } from './gap.js'
import { normWords, setToNorm } from './norm.js'
import { placeFields } from './place-fields.js'
import { sizeFields } from './size-fields.js'

/** `place`: how the crown stands; `form`: where it comes from and its size; `channel`: its screw channel; `gap`: its neighbours. */
export type CrownFormPart = 'place' | 'form' | 'channel' | 'gap'

const headings: Readonly<Record<CrownFormPart, string>> = {
  place: 'Crown, from site and platform',
  form: 'Form of the crown',
  channel: 'Access channel',
  gap: 'Neighbours',
}

const landmarks: Readonly<Record<keyof CrownMarks, string>> = {
  edgeMesial: 'edge, mesial end',
  edgeDistal: 'edge, distal end',
  mesialContact: 'mesial contact',
  distalContact: 'distal contact',
  zenith: 'zenith',
}

/**
 * The planned crown in numbers, to read and to type, one part of it at a time.
 *
 * @fires alv-plan PlanMove: something was typed or pressed.
 * @fires alv-pick-neighbour a place on a neighbouring tooth waits to be pointed at; `waiting` tells which.
 * @fires alv-mark-crown a landmark of a mesh crown waits to be pointed at; `marking` tells which.
 * @fires alv-crown-file a mesh file was chosen.
 */
export class AlvCrownForm extends LitElement {
  static override styles = [tokens, panel, fieldsStyle, formStyle]

  @property({ attribute: false }) plan: Plan | null = null
  /** The crown where it stands; null while the mesh of the plan's crown is not here. */
  @property({ attribute: false }) placed: PlacedCrown | null = null
  @property() shown: CrownFormPart = 'place'
  /** On the screen its heading stands elsewhere. */
  @property({ type: Boolean, reflect: true }) tabbed = false
  /** The place of a neighbour that is asked for, by its key; empty when none is. */
  @property() waiting = ''
  /** The landmark that is asked for. */
  @property({ attribute: false }) marking: keyof CrownMarks | null = null
  /** What came of the last fit; what is said of it holds for the plan that it made. */
  @state() private fit: FittedGap | null = null
  @state() private landmark: keyof CrownMarks = 'edgeMesial'

  override render(): TemplateResult {
    const { plan } = this
    if (plan === null) return html`<p class="quiet">no plan yet</p>`
    return html`<h2>${headings[this.shown]}</h2>${this.#part(plan)}`
  }

  #part(plan: Plan): TemplateResult {
    switch (this.shown) {
      case 'place':
        return this.#place(plan)
      case 'form':
        return this.#form(plan)
      case 'channel':
        return html`<div class="row few">${numberFields(this, channelFields)}${sources('from', channelSources(plan))}</div>`
      case 'gap':
        return this.#gap(plan)
    }
  }

  #place(plan: Plan): TemplateResult {
    return html`<div class="row">${numberFields(this, placeFields)}
        <span class="tools"><button @click=${() => this.#tell(setToNorm(plan))}>norm</button></span>
        ${sources('norm from', normWords(plan.site.tooth))}</div>`
  }

  #form(plan: Plan): TemplateResult {
    const { crown } = plan
    const table = crown.kind === 'tabulated'
    const there = table ? null : tabulatedThere(plan)
    return html`<div class="row">
        <p class="from">${crownSource(plan)}${table ? nothing : measured(this.placed)}</p>
        ${table ? numberFields(this, sizeFields) : this.#landmarks(plan)}
        <span class="tools">
          ${table ? html`<button ?disabled=${crown.size === undefined} @click=${() => this.#tell(setCrownSize(plan, null))}>table size</button>` : html`<button ?disabled=${there === null} @click=${() => there && this.#tell({ ...plan, crown: there })}>of the table</button>`}
          <button @click=${() => this.renderRoot.querySelector<HTMLInputElement>('input[type=file]')?.click()}>From a file</button>
          <input type="file" accept=".stl,.obj,.ply,.3mf" hidden @change=${this.#chosen} /></span></div>`
  }

  #landmarks(plan: Plan): TemplateResult {
    const { landmark } = this
    const marks = plan.crown.kind === 'mesh' ? (plan.crown.marks ?? {}) : {}
    const wanted = this.marking === landmark
    return html`<span class="tools">
      <select aria-label="Landmark" @change=${(e: Event) => this.#choose((e.target as HTMLSelectElement).value)}>${Object.entries(
        landmarks,
      ).map(
        ([key, name]) =>
          html`<option value=${key} ?selected=${key === landmark}>${name}${key in marks ? ' (set)' : ''}</option>`,
      )}</select>
      <button aria-pressed=${wanted} ?disabled=${this.placed === null} @click=${() => tell(this, 'alv-mark-crown', { mark: wanted ? null : landmark })}>set on crown</button>
      <button ?disabled=${!(landmark in marks)} @click=${() => this.#tell(markCrown(plan, landmark, null))}>as found</button></span>`
  }

  #gap(plan: Plan): TemplateResult {
    const { neighbours } = plan.site
    const ready = neighbours?.mesial?.contact !== undefined && neighbours.distal?.contact !== undefined
    const fit = this.fit?.plan === plan || this.fit?.plan === null ? this.fit : null
    return html`<div class="row"><div class="picks">${gapPlaces.map(({ place, name }) => this.#pick(plan, place, name))}</div>
        <span class="tools"><button ?disabled=${!ready || this.placed === null} @click=${() => this.#fit(plan)}>Fit to the gap</button></span></div>
      ${fit === null ? nothing : html`<p class="said ${fit.problem === null ? '' : 'problem'}" role="status">${fit.problem ?? fit.words}</p>`}`
  }

  #pick(plan: Plan, place: NeighbourPlace, name: string): TemplateResult {
    const set = plan.site.neighbours?.[place.side]?.[place.mark] !== undefined
    const wanted = this.waiting === placeKey(place)
    return html`<div class="pick">${name}<span class="tools">
      <button aria-label="Point at the ${name}" aria-pressed=${wanted} @click=${() => tell(this, 'alv-pick-neighbour', place)}>${set ? 'set, again' : 'point'}</button>
      ${set ? html`<button aria-label="Take away the ${name}" @click=${() => this.#tell(markNeighbour(plan, place.side, place.mark, null))}>×</button>` : nothing}</span></div>`
  }

  #fit(plan: Plan): void {
    if (this.placed === null) return
    this.fit = fittedToGap(plan, this.placed)
    if (this.fit !== null && this.fit.plan !== null) this.#tell(this.fit.plan)
  }

  #choose(mark: string): void {
    this.landmark = mark as keyof CrownMarks
    if (this.marking !== null) tell(this, 'alv-mark-crown', { mark: this.landmark })
  }

  #chosen(event: Event): void {
    const input = event.target as HTMLInputElement
    const file = input.files?.[0]
    input.value = ''
    if (file !== undefined) tell(this, 'alv-crown-file', { file })
  }

  #tell(plan: Plan): void {
    tell(this, 'alv-plan', { phase: 'step', plan })
  }
}

/** The sizes of a crown that are not to be typed. */
function measured(placed: PlacedCrown | null): string {
  if (placed === null) return ', not here'
  const { lengthMm, widthMdMm, widthLlMm } = sizeOf(placed.crown)
  return `: ${mm(lengthMm, 1)} long, ${mm(widthMdMm, 1)} wide, ${mm(widthLlMm, 1)} deep`
}

const sources = (name: string, told: readonly string[]): TemplateResult =>
  html`<details><summary>${name}</summary>${told.map((text) => html`<p>${text}</p>`)}</details>`
