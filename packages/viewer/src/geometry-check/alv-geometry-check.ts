import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import type { GreyImage } from '../drawing/grey.js'
import type { Across, PreviewFacts } from '../engine/protocol.js'
import { tell } from '../events.js'
import { panel, questionSheet, tokens } from '../sheet/index.js'
import { plain } from '../text/format.js'
import { oppositeOf, type Side, sides } from '../text/sides.js'
import type { EdgeSides } from './alv-check-picture.js'
import {
  answersOf,
  asks,
  choose,
  type Distance,
  type Draft,
  emptyDraft,
  type LengthAnswer,
  pixelOf,
  type SidesAnswer,
  sidesOf,
  stepOf,
  upChoices,
  voxelOf,
} from './answers.js'
import { checkStyle } from './check-style.js'
import { firstLine, type LengthLine } from './line.js'
import { claimed, distance, missing } from './words.js'

/** The picture across an axis at an index, as its voxels lie. */
export type PictureSource = (across: Across, index: number) => Promise<GreyImage>

const pictures: readonly { readonly across: Across; readonly name: string; readonly counted: string }[] = [
  { across: 2, name: 'Slice', counted: 'slice' },
  { across: 1, name: 'Side picture 1', counted: 'row' },
  { across: 0, name: 'Side picture 2', counted: 'column' },
]

/**
 * Asks a person for what of its geometry a scan's file does not give: pixel size by something of known length, slice
 * distance likewise, and which side of the patient is which. Shows pixels; millimetres and sides only as they are being
 * answered, so that a mistake is seen before it is confirmed.
 *
 * @fires alv-confirm-geometry all is answered; detail {answers}.
 * @fires alv-leave it is not.
 */
export class AlvGeometryCheck extends LitElement {
  static override styles = [tokens, panel, questionSheet, checkStyle]

  @property({ attribute: false }) preview: PreviewFacts | null = null
  @property({ attribute: false }) picture: PictureSource | null = null
  /** What the series is called. */
  @property() name = ''
  /** Why the answers before were refused. */
  @property() problem = ''
  @state() private draft: Draft = emptyDraft
  @state() private images: Readonly<Partial<Record<Across, GreyImage>>> = {}
  @state() private at: readonly [number, number, number] = [0, 0, 0]
  /** The lines as they lie, set by the person or not yet. */
  @state() private lines: { readonly pixel: LengthLine | null; readonly step: LengthLine | null } = {
    pixel: null,
    step: null,
  }
  @query('h2') private heading?: HTMLElement
  readonly #asked = new Set<Across>()

  override focus(): void {
    this.heading?.focus()
  }

  override willUpdate(changed: PropertyValues<this>): void {
    const { preview } = this
    if (!changed.has('preview') || preview === null) return
    const [columns, rows, slices] = preview.shape
    this.draft = emptyDraft
    this.images = {}
    this.at = [columns >> 1, rows >> 1, slices >> 1]
    this.lines = {
      pixel: asks(preview, 'pixel-spacing') ? firstLine(columns, rows, false) : null,
      step: asks(preview, 'slice-step') ? firstLine(columns, slices, true) : null,
    }
    for (const { across } of pictures) void this.#show(across)
  }

  override render(): TemplateResult {
    const { preview } = this
    if (preview === null) return html``
    return html`<section aria-label="Confirm the geometry">
      <div class="head"><h2 tabindex="-1">Confirm the geometry</h2>
        <button @click=${() => tell(this, 'alv-leave', null)}>Back</button></div>
      <p class="lead">The file of <b>${this.name || 'this scan'}</b> does not say ${missing(preview)}. Everything measured
        rests on it, so it is not guessed: confirm it once, and the plan keeps it.</p>
      <div class="body">
        <div class="pictures">${pictures.map((p) => this.#figure(preview, p))}</div>
        <div class="steps">${this.#pixelStep(preview)}${this.#sliceStep(preview)}${this.#sidesStep(preview)}${this.#end(preview)}</div>
      </div>
    </section>`
  }

  #figure(preview: PreviewFacts, { across, name, counted }: (typeof pictures)[number]): TemplateResult {
    const { draft, lines } = this
    const line =
      across === 2 && draft.pixel.how === 'known-length'
        ? lines.pixel
        : across === 1 && draft.step.how === 'known-length'
          ? lines.step
          : null
    const { knownMm } = across === 2 ? draft.pixel : draft.step
    const count = preview.shape[across]
    return html`<figure>
      <figcaption><strong>${name}</strong>
        <label><span>${counted} ${this.at[across] + 1} of ${count}</span>
          <input type="range" min="0" max=${count - 1} step="1" .valueAsNumber=${this.at[across]} aria-label="${name}: which ${counted}"
            @input=${(e: Event) => this.#turn(across, (e.target as HTMLInputElement).valueAsNumber)} /></label></figcaption>
      <alv-check-picture .image=${this.images[across] ?? null} .window=${{ low: preview.greyLow, high: preview.greyHigh }}
        .aspect=${this.#aspect(preview, across)} .edges=${this.#edges(preview, across)} .line=${line} ?upright=${across === 1}
        .lettering=${line !== null && knownMm > 0 ? `${knownMm}\u202fmm` : ''} .caption=${`${name}, ${counted} ${this.at[across] + 1}`}
        @alv-line=${(e: CustomEvent<LengthLine>) => this.#lined(across === 2 ? 'pixel' : 'step', e.detail)}></alv-check-picture>
    </figure>`
  }

  #pixelStep(preview: PreviewFacts): TemplateResult | typeof nothing {
    if (!asks(preview, 'pixel-spacing')) return nothing
    const found = pixelOf(preview, this.draft)
    return this.#length('pixel', 'Size of a pixel', found, {
      where: 'on the slice',
      each: 'a pixel',
      type: 'the size of a pixel',
    })
  }

  #sliceStep(preview: PreviewFacts): TemplateResult | typeof nothing {
    const question = preview.questions.find((q) => q.ask === 'slice-step')
    if (!question) return nothing
    const claim = question.suggestion
    return this.#length(
      'step',
      'Distance of the slices',
      stepOf(preview, this.draft),
      {
        where: 'on side picture 1, along the slices,',
        each: 'from slice to slice',
        type: 'the distance of the slices',
      },
      claim && claimed(claim),
    )
  }

  #length(
    which: 'pixel' | 'step',
    title: string,
    found: Distance | null,
    words: { readonly where: string; readonly each: string; readonly type: string },
    claim?: string,
  ): TemplateResult {
    const answer = this.draft[which]
    const way = (how: LengthAnswer['how'], text: string): TemplateResult =>
      html`<label class="way"><input type="radio" name=${which} .checked=${answer.how === how} @change=${() => this.#answer(which, { how })} />
        <span>${text}</span></label>`
    const field = (key: 'knownMm' | 'typedMm', name: string): TemplateResult =>
      html`<label class="typed">${name} <input type="number" min="0" step="any" autocomplete="off"
        .value=${Number.isNaN(answer[key]) ? '' : String(answer[key])}
        @input=${(e: Event) => this.#answer(which, { [key]: (e.target as HTMLInputElement).valueAsNumber })} /> mm</label>`
    return html`<fieldset class="${which} ${found === null ? '' : 'done'}">
      <legend>${title} ${found === null ? nothing : html`<span class="tick">answered</span>`}</legend>
      ${way('known-length', 'by something whose length is known')}
      ${
        answer.how === 'known-length'
          ? html`<div class="inset"><p>Lay the line ${words.where} over something you know the length of, the longer the better, and type it.</p>
              ${field('knownMm', 'its length')}
              ${answer.line === null && answer.knownMm > 0 ? html`<p class="below">Now set both ends of the line on it.</p>` : nothing}</div>`
          : nothing
      }
      ${claim === undefined ? nothing : way('from-header', claim)}
      ${way('typed', `by typing ${words.type}`)}
      ${answer.how === 'typed' ? html`<div class="inset">${field('typedMm', '')}</div>` : nothing}
      ${found === null ? nothing : html`<p class="result" role="status">${distance(found)} ${words.each}</p>`}
    </fieldset>`
  }

  #sidesStep(preview: PreviewFacts): TemplateResult | typeof nothing {
    if (!asks(preview, 'orientation')) return nothing
    const { draft } = this
    const { left, top, up } = draft.sides
    const done =
      preview.sides !== null
        ? up !== null
        : left !== null && top !== null && (preview.counting !== null || up !== null)
    return html`<fieldset class="sides ${done ? 'done' : ''}">
      <legend>Sides of the patient ${done ? html`<span class="tick">answered</span>` : nothing}</legend>
      ${
        preview.sides === null
          ? html`<div class="pair">${this.#sideChoice('left', 'left edge of the slice', sides)}${this.#sideChoice('top', 'top edge of the slice', sides)}</div>`
          : html`<p>How a slice is turned is in the file, but not from which end the slices are counted.</p>`
      }
      ${
        preview.counting === null
          ? html`<p>The first slice is the top line of the side pictures. Towards which side are they counted?</p>
              ${
                upChoices(preview, draft).length === 0
                  ? html`<p>Choose the two edges first.</p>`
                  : upChoices(preview, draft).map(
                      (
                        side,
                      ) => html`<label class="way"><input type="radio" name="up" .checked=${up === side} @change=${() => this.#side('up', side)} />
                        <span>towards ${side}: slice 1 at the ${oppositeOf(side)} end</span></label>`,
                    )
              }`
          : html`<p>Where the slices lie is in the file; a choice that contradicts it is refused.</p>`
      }
      <p>Check it by something you know to be on one side.</p>
    </fieldset>`
  }

  #sideChoice(which: 'left' | 'top', name: string, from: readonly Side[]): TemplateResult {
    const value = this.draft.sides[which]
    return html`<label for=${which}>${name}</label>
      <select id=${which} @change=${(e: Event) => this.#side(which, from.find((s) => s === (e.target as HTMLSelectElement).value) ?? null)}>
        <option value="" ?selected=${value === null}>choose</option>
        ${from.map((s) => html`<option value=${s} ?selected=${s === value}>${s} of the patient</option>`)}</select>`
  }

  #end(preview: PreviewFacts): TemplateResult {
    const answers = answersOf(preview, this.draft)
    const voxel = voxelOf(preview, this.draft)
    const [x, y, z] = voxel.map((mm, n) => (mm === null ? null : mm * (preview.shape[n] as number)))
    return html`<div class="sum">
      ${this.problem === '' ? nothing : html`<p class="problem" role="alert">${this.problem}</p>`}
      ${
        x != null && y != null && z != null
          ? html`<p role="status">The scan would be ${[x, y, z].map((mm) => plain(mm, 1)).join(' × ')}\u202fmm. Can that be?</p>`
          : nothing
      }
      <button class="confirm" ?disabled=${answers === null} @click=${() => answers && tell(this, 'alv-confirm-geometry', { answers })}>Confirm and open</button>
      ${answers === null ? html`<p class="quiet">Answer everything above first.</p>` : nothing}
    </div>`
  }

  /** As wide and high as it would be; square pixels while that is not known. */
  #aspect(preview: PreviewFacts, across: Across): number {
    const [x, y, z] = voxelOf(preview, this.draft)
    const [u, v] = across === 2 ? [x, y] : across === 1 ? [x, z] : [y, z]
    return u != null && v != null ? v / u : 1
  }

  #edges(preview: PreviewFacts, across: Across): EdgeSides {
    const { left, top, up } = sidesOf(preview, this.draft)
    const [u, v] =
      across === 2 ? [left, top] : [across === 1 ? left : top, up === null ? null : oppositeOf(up)]
    return {
      left: u,
      right: u === null ? null : oppositeOf(u),
      top: v,
      bottom: v === null ? null : oppositeOf(v),
    }
  }

  #answer(which: 'pixel' | 'step', change: Partial<LengthAnswer>): void {
    this.draft = { ...this.draft, [which]: { ...this.draft[which], ...change } }
  }

  #lined(which: 'pixel' | 'step', line: LengthLine): void {
    this.lines = { ...this.lines, [which]: line }
    this.#answer(which, { line })
  }

  #side(which: keyof SidesAnswer, side: Side | null): void {
    this.draft = { ...this.draft, sides: choose(this.draft.sides, which, side) }
  }

  #turn(across: Across, index: number): void {
    const at = [...this.at] as [number, number, number]
    at[across] = index
    this.at = at
    void this.#show(across)
  }

  /** One picture of each kind is on its way at a time; the newest index is asked for when it has come. */
  async #show(across: Across): Promise<void> {
    const { picture, preview } = this
    if (picture === null || this.#asked.has(across)) return
    this.#asked.add(across)
    try {
      for (let shown = -1; shown !== this.at[across] && this.preview === preview; ) {
        shown = this.at[across]
        const image = await picture(across, shown)
        this.images = { ...this.images, [across]: image }
      }
    } catch {
      // The preview was closed in the meantime.
    } finally {
      this.#asked.delete(across)
      if (this.preview !== preview) void this.#show(across)
    }
  }
}
