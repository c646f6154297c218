import { greyCalibration, type Plan, type PlannedCalibration, USUAL_HU_SD } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, state } from 'lit/decorators.js'
import { tell } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { grey, tolerance } from '../text/format.js'
import { calibrationStyle } from './calibration-style.js'
import {
  type DraftPoint,
  type DraftProblem,
  draftOf,
  emptyPoint,
  type Field,
  names,
  readDraft,
  sameRows,
  typed,
} from './draft.js'
import { isEstimate, type Suggestion, startingRows, suggestions } from './suggestions.js'

/** A grey value taken from the picture, with its spread when more than one voxel was looked at. */
export interface GreyPick {
  readonly grey: number
  readonly greySd?: number
}

/**
 * Points of known density, from which grey values become estimated Hounsfield units: what, its grey value in this scan,
 * its HU, each with a spread where it is known. Two at least.
 *
 * @fires alv-grey-calibration `{ calibration }`: apply this to the plan; undefined clears it.
 * @fires alv-pick-grey a row waits for a grey value from the picture: answer by setting `pick`.
 */
export class AlvGreyCalibration extends LitElement {
  static override styles = [tokens, panel, calibrationStyle]

  /** As the plan has it. */
  @property({ attribute: false }) calibration: Plan['calibration'] = undefined
  /** A value from the picture: it goes into the row that waits. A new object each time. */
  @property({ attribute: false }) pick: GreyPick | null = null
  /** The page can take grey values from its pictures. */
  @property({ type: Boolean }) pickable = false
  /** The page was asked for a value that has not come yet; a page that no longer looks for one sets it to false. */
  @property({ type: Boolean }) waiting = false

  @state() private rows: readonly DraftPoint[] = startingRows
  /** The row that the next value from the picture goes into. */
  @state() private next = 0
  /** Shown from the first Apply on: nothing is wrong with a row that is still being typed. */
  @state() private problem: DraftProblem | null = null
  #shown: Plan['calibration'] = undefined

  override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('calibration') && !sameRows(this.calibration, this.#shown)) this.#show(this.calibration)
    if (changed.has('pick') && this.pick !== null) this.#fill(this.pick)
  }

  override render(): TemplateResult {
    return html`<h2>Grey values to HU, estimated</h2>
      <form novalidate @submit=${this.#apply}>
        ${this.rows.map((row, n) => this.#row(row, n))}
        <div class="row"><button type="button" @click=${this.#add}>Add point</button>
          ${suggestions.map((s) => html`<button type="button" @click=${() => this.#suggest(s)}>${s.what} ${s.hu.replace('-', '\u2212')}</button>`)}
          <span class="quiet">(estimates)</span></div>
        <div class="result" role="status">${this.#result()}</div>
        <div class="row"><button type="submit">Apply</button><button type="button" @click=${this.#clear}>Clear</button></div>
      </form>
      <p class="says">Air and soft tissue in the scan itself give an estimate: soft tissue lies between 30 and 60 HU. Inserts of known density give more. ± is one SD; HU without one count as ±${USUAL_HU_SD}. In a cone-beam scan the same tissue differs from place to place whatever the line.</p>`
  }

  #row(row: DraftPoint, n: number): TemplateResult {
    const name = row.what.trim() || `point ${n + 1}`
    return html`<fieldset class=${n === this.next ? 'next' : ''} @focusin=${() => this.#goTo(n)}>
        <legend>Point ${n + 1}</legend>
        <label class="what">what ${isEstimate(row) ? html`<span class="estimate">estimate</span>` : nothing}
          <input name="what" autocomplete="off" maxlength="60" .value=${row.what} @input=${(e: Event) => this.#type(n, 'what', e)} /></label>
        ${this.#field(row, n, 'grey', 'grey')}${this.#field(row, n, 'greySd', '±')}
        ${this.#field(row, n, 'hu', 'HU')}${this.#field(row, n, 'huSd', '±')}
        <span class="tools">${this.pickable ? html`<button type="button" aria-label="measure ${name} in the picture" aria-pressed=${this.waiting && n === this.next} @click=${() => this.#ask(n)}>measure</button>` : nothing}
          <button type="button" aria-label="Remove ${name}" @click=${() => this.#remove(n)}>×</button></span>
      </fieldset>`
  }

  #field(row: DraftPoint, n: number, field: Field, label: string): TemplateResult {
    const wrong = this.problem?.at?.row === n && this.problem.at.field === field
    return html`<label class=${field}>${label}
      <input name=${field} aria-label=${names[field]} aria-invalid=${wrong} autocomplete="off"
        .value=${row[field]} @input=${(e: Event) => this.#type(n, field, e)} /></label>`
  }

  /** The line that the rows make, or what is wrong with them. */
  #result(): TemplateResult | typeof nothing {
    if (this.problem !== null) return html`<p class="problem">${this.problem.text}</p>`
    const { calibration } = readDraft(this.rows, this.calibration)
    if (calibration === null)
      return this.calibration === undefined
        ? html`<p class="quiet">No calibration is in force.</p>`
        : html`<p class="quiet">The calibration of the plan is in force until this is applied.</p>`
    const line = greyCalibration(calibration.points)
    const greys = calibration.points.map((point) => point.grey)
    const at = (value: number) =>
      `${tolerance(line.hu(value).hu, line.hu(value).halfWidthHu, 0)} HU at grey ${grey(value)}`
    const { slope, intercept } = line
    const inForce = sameRows(calibration, this.calibration)
    return html`<p>HU = ${slope.toPrecision(4)} × grey ${intercept < 0 ? '\u2212' : '+'} ${grey(Math.abs(intercept))}${inForce ? ', in force' : ', not applied yet'}</p>
      <p class="quiet">95\u2009%: ${at(Math.min(...greys))}, ${at(Math.max(...greys))}; wider beyond.</p>`
  }

  #show(calibration: Plan['calibration']): void {
    this.#shown = calibration
    this.rows = calibration === undefined ? startingRows : draftOf(calibration)
    this.next = this.#firstWithoutGrey()
    this.problem = null
    this.waiting = false
  }

  #firstWithoutGrey(): number {
    const found = this.rows.findIndex((row) => row.grey.trim() === '')
    return found < 0 ? Math.max(0, this.rows.length - 1) : found
  }

  #change(n: number, change: Partial<DraftPoint>): void {
    this.rows = this.rows.map((row, m) => (m === n ? { ...row, ...change } : row))
    this.problem = null
  }

  #type(n: number, field: Field | 'what', event: Event): void {
    this.#change(n, { [field]: (event.target as HTMLInputElement).value })
  }

  #fill({ grey: value, greySd }: GreyPick): void {
    if (this.rows.length === 0) this.rows = [emptyPoint]
    // A region of one grey value, such as air at the end of the scale, says nothing of how sure it is.
    this.#change(this.next, {
      grey: typed(value),
      greySd: greySd !== undefined && greySd >= 0.01 ? typed(greySd) : '',
    })
    this.waiting = false
    if (this.rows.some((row) => row.grey.trim() === '')) this.next = this.#firstWithoutGrey()
  }

  #ask(n: number): void {
    this.next = n
    this.waiting = true
    tell(this, 'alv-pick-grey', null)
  }

  #goTo(n: number): void {
    if (n !== this.next) this.waiting = false
    this.next = n
  }

  readonly #add = (): void => {
    this.rows = [...this.rows, emptyPoint]
    void this.#focus(this.rows.length - 1, 'what')
  }

  #remove(n: number): void {
    this.rows = this.rows.filter((_, m) => m !== n)
    this.next = Math.max(0, Math.min(this.next, this.rows.length - 1))
    this.problem = null
    this.updateComplete.then(() => {
      const tools = this.renderRoot.querySelectorAll<HTMLElement>(
        '.tools button:last-child, form > .row button',
      )
      tools[Math.min(n, tools.length - 1)]?.focus()
    })
  }

  /** Into the row at hand when it has neither name nor number, else into the first such row, else into a new one. */
  #suggest({ what, hu }: Suggestion): void {
    const free = (row: DraftPoint | undefined) => row?.what.trim() === '' && row.hu.trim() === ''
    const found = free(this.rows[this.next]) ? this.next : this.rows.findIndex(free)
    const n = found < 0 ? this.rows.length : found
    if (found < 0) this.rows = [...this.rows, emptyPoint]
    this.#change(n, { what, hu })
    void this.#focus(n, 'grey')
  }

  readonly #apply = (event: Event): void => {
    event.preventDefault()
    const { calibration, problem } = readDraft(this.rows, this.calibration)
    this.problem = problem
    if (calibration !== null) this.#tell(calibration)
    else if (problem?.at) void this.#focus(problem.at.row, problem.at.field)
  }

  readonly #clear = (): void => {
    this.#show(undefined)
    this.#tell(undefined)
  }

  #tell(calibration: PlannedCalibration | undefined): void {
    this.#shown = calibration
    tell(this, 'alv-grey-calibration', { calibration })
  }

  async #focus(n: number, field: Field | 'what'): Promise<void> {
    await this.updateComplete
    this.renderRoot.querySelectorAll<HTMLInputElement>(`input[name=${field}]`)[n]?.focus()
  }
}
