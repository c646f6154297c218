import { antimereOf, type ImportedMesh } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, state } from 'lit/decorators.js'
import { tell } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { count, mm2, plain } from '../text/format.js'
import { type CrownChoice, type CrownUse, unitNames } from './crown-choice.js'
import { importStyle } from './import-style.js'

const formats: Readonly<Record<ImportedMesh['format'], string>> = {
  'stl-binary': 'STL, binary',
  'stl-text': 'STL, text',
  obj: 'OBJ',
  ply: 'PLY',
  '3mf': '3MF',
}

/**
 * What is in a crown's mesh file and what was repaired, and the questions that no such file answers: its unit where its
 * size is not that of a crown, whose tooth it is, and where it stands. Nothing is chosen silently.
 *
 * @fires alv-crown-choice what the person chose.
 * @fires alv-leave the file is not wanted.
 */
export class AlvCrownImport extends LitElement {
  static override styles = [tokens, panel, importStyle]

  @property({ attribute: false }) imported: ImportedMesh | null = null
  /** The site's tooth, ISO 3950. */
  @property() tooth = '11'
  /** Where the mesh stands likelier, by its unit: where its file says, or nowhere near the site. */
  @property({ attribute: false }) likelier: (unitMm: number) => CrownChoice['where'] = () => 'site'
  /** The choice is being carried out. */
  @property({ type: Boolean }) busy = false
  /** Why the choice could not be carried out. */
  @property() problem = ''
  /** Null until a person has chosen, where the size says that it is not millimetres. */
  @state() private unitMm: number | null = 1
  /** Null: the likelier one. */
  @state() private where: CrownChoice['where'] | null = null
  @state() private space: CrownChoice['space'] = 'lps'

  override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('imported') || this.imported === null) return
    const { statedUnitMm, unitProposals } = this.imported
    this.unitMm = statedUnitMm === null && unitProposals.length > 0 ? null : 1
    this.where = null
    this.space = 'lps'
  }

  override render(): TemplateResult {
    const { imported } = this
    if (imported === null) return html``
    const { fileName, notes } = imported
    return html`<section aria-label="Crown from a file" tabindex="-1">
      <h2>Crown from ${fileName}</h2>
      <p>${this.#facts(imported)}</p>
      ${notes.length === 0 ? nothing : html`<ul>${notes.map(({ text }) => html`<li>${text}</li>`)}</ul>`}
      <div class="asked">${this.#units(imported)}${this.#places()}</div>
      ${this.problem === '' ? nothing : html`<p class="problem" role="alert">${this.problem}</p>`}
      <div class="row">${this.#uses()}
        <button @click=${() => tell(this, 'alv-leave', null)}>Cancel</button></div>
    </section>`
  }

  #facts({ format, facts }: ImportedMesh): string {
    const { triangles, closed, openEdges, box, volumeMm3, areaMm2 } = facts
    const k = this.unitMm
    const inMm = k ?? 1
    const [x, y, z] = [0, 1, 2].map((n) =>
      plain(inMm * ((box.high[n] as number) - (box.low[n] as number)), 1),
    )
    const size = `${x} × ${y} × ${z}${k === null ? ' units' : '\u202fmm'}`
    const parts = [
      `${formats[format]}: ${count(triangles, 'triangle')}`,
      size,
      closed ? 'closed' : `open, ${count(openEdges, 'open edge')}`,
      ...(k === null || volumeMm3 === null ? [] : [`${plain(volumeMm3 * inMm ** 3, 0)}\u202fmm³`]),
      ...(k === null ? [] : [`surface ${mm2(areaMm2 * inMm ** 2)}`]),
    ]
    return parts.join('; ')
  }

  #units({ statedUnitMm, unitProposals }: ImportedMesh): TemplateResult {
    if (statedUnitMm !== null)
      return html`<p>Unit: ${unitNames[statedUnitMm] ?? `${statedUnitMm} mm`}, as the file states.</p>`
    const offered = [1, ...unitProposals.map(({ unitMm }) => unitMm)]
    return html`<fieldset><legend>Unit${unitProposals.length > 0 ? ' (choose)' : ', assumed'}</legend>
      ${offered.map(
        (unitMm) =>
          html`<button aria-pressed=${this.unitMm === unitMm} @click=${() => {
            this.unitMm = unitMm
          }}>${unitNames[unitMm] ?? `${unitMm} mm`}</button>`,
      )}</fieldset>`
  }

  #places(): TemplateResult {
    const where = this.#whereNow
    const place = (key: CrownChoice['where'], name: string): TemplateResult =>
      html`<button aria-pressed=${where === key} @click=${() => {
        this.where = key
      }}>${name}</button>`
    const space = (key: CrownChoice['space'], name: string): TemplateResult =>
      html`<button aria-pressed=${this.space === key} @click=${() => {
        this.space = key
      }}>${name}</button>`
    return html`<fieldset><legend>Place</legend>${place('site', 'put onto the site')}${place('file', 'where the file says')}</fieldset>
      ${
        where === 'site'
          ? nothing
          : html`<fieldset><legend>Coordinates of the file</legend>${space('lps', 'LPS (as DICOM)')}${space('ras', 'RAS (x and y turned over)')}</fieldset>`
      }`
  }

  #uses(): TemplateResult {
    const use = (key: CrownUse, name: string): TemplateResult =>
      html`<button ?disabled=${this.unitMm === null || this.busy} @click=${() => this.#choose(key)}>${name}</button>`
    return html`${use('this', `Use as the crown of ${this.tooth}`)}${use('mirror', `Mirror it: it is of ${antimereOf(this.tooth)}`)}
      ${use('size', "Only its size, for the table's crown")}${this.busy ? html`<span role="status">Finding how the crown lies …</span>` : nothing}`
  }

  get #whereNow(): CrownChoice['where'] {
    return this.where ?? this.likelier(this.unitMm ?? 1)
  }

  #choose(use: CrownUse): void {
    if (this.unitMm !== null)
      tell(this, 'alv-crown-choice', { use, unitMm: this.unitMm, where: this.#whereNow, space: this.space })
  }
}
