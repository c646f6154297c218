import type { ReportEntry, SeriesSummary } from '@alveometer/scan'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { arrowKeys } from '../drawing/arrow-keys.js'
import { paintThumbnail } from '../drawing/thumbnail.js'
import { volumeBudgetBytes } from '../engine/budget.js'
import { tell } from '../events.js'
import type { Explain } from '../load-report/alv-load-report.js'
import { panel, questionSheet, tokens } from '../sheet/index.js'
import { count, megabytes, voxelSize } from '../text/format.js'
import { chooserStyle } from './chooser-style.js'
import { byPatient, isWorthChoosing, knownPatients, type Patient } from './contents.js'

/**
 * What a pick holds, by patient and study, to choose a series from: one click or Enter opens it, Tab and the arrow keys
 * go from one to the next. A series that cannot be measured says why, and where a person can confirm what its file
 * lacks, it can be chosen for that. Persons are shown to choose by and kept nowhere.
 *
 * @fires alv-choose-series a series was chosen; detail {id}.
 * @fires alv-leave none was.
 */
export class AlvSeriesChooser extends LitElement {
  static override styles = [tokens, panel, questionSheet, chooserStyle]

  @property({ attribute: false }) series: readonly SeriesSummary[] = []
  /** Findings; those with a `seriesUid` stand with their series already. */
  @property({ attribute: false }) report: readonly ReportEntry[] = []
  @property({ attribute: false }) explain: Explain | null = null
  /** The most a volume may take, bytes. */
  @property({ type: Number }) budgetBytes = volumeBudgetBytes()

  /** Puts the focus on the first series that can be chosen; where several patients are in the pick, on the warning. */
  override focus(): void {
    const alarm = this.shadowRoot?.querySelector<HTMLElement>('.alarm')
    ;(alarm ?? this.#doors()[0])?.focus()
  }

  override render(): TemplateResult {
    const patients = knownPatients(this.series)
    const several = patients.length > 1
    const told = several ? 'several-patients' : ''
    const rest = this.report.filter((r) => r.seriesUid === undefined && r.code !== told)
    return html`<section class=${several ? 'several' : ''} aria-label="Choose a series" @keydown=${this.#key}>
      <div class="head"><h2>${this.#title()}</h2>
        <button @click=${() => tell(this, 'alv-leave', null)}>Close</button></div>
      ${
        several
          ? html`<p class="alarm" role="alert" tabindex="-1"><span>${differ(patients)}</span>
              Read the name before you choose.</p>`
          : nothing
      }
      ${byPatient(this.series).map((p) => this.#patient(p))}
      ${
        rest.length > 0
          ? html`<details class="found rest"><summary>${count(rest.length, 'note')} on the other files</summary>
              <alv-load-report full .report=${rest} .explain=${this.explain}></alv-load-report></details>`
          : nothing
      }
    </section>`
  }

  override updated(): void {
    for (const canvas of this.shadowRoot?.querySelectorAll('canvas') ?? [])
      paintThumbnail(canvas, this.series.find((s) => s.id === canvas.dataset.series)?.thumbnail)
  }

  #title(): string {
    const open = this.series.filter(isWorthChoosing)
    if (open.some((s) => s.usable)) return 'Which series shall be opened?'
    return open.length > 0
      ? 'This scan does not give all of its geometry'
      : 'Nothing here can be measured as it is'
  }

  #patient({ person, studies }: Patient): TemplateResult {
    const born = dateOf(person.birthDate)
    const nobody = person.name === '' && person.id === '' && born === ''
    return html`<div class="patient">
      ${
        nobody
          ? html`<h3><strong>No patient is named</strong></h3>`
          : html`<h3><strong>${person.name || 'Patient without a name'}</strong>
        <span>${person.id === '' ? 'no ID' : `ID ${person.id}`}</span>
        <span>${born === '' ? 'no birth date' : `born ${born}`}</span></h3>`
      }
      <ul class="cards">${studies.flatMap(({ series }, n) =>
        series.map((s) => this.#card(s, studies.length > 1 ? `${n + 1} of ${studies.length}` : '')),
      )}</ul>
    </div>`
  }

  #card(s: SeriesSummary, study: string): TemplateResult {
    const face = this.#face(s, study)
    const open = (): void => tell(this, 'alv-choose-series', { id: s.id })
    return html`<li class="card ${isWorthChoosing(s) ? '' : 'out'}">
      ${
        s.usable || s.localizer
          ? html`<button class="face ${s.localizer ? '' : 'door'}" ?disabled=${s.localizer} @click=${open}>${face}</button>`
          : html`<div class="face">${face}</div>`
      }
      ${s.localizer ? nothing : this.#reasons(s, open)}
    </li>`
  }

  #face(s: SeriesSummary, study: string): TemplateResult {
    const tag = tagOf(s)
    return html`<span class="picture">${
      s.thumbnail === undefined
        ? 'no picture'
        : html`<canvas aria-hidden="true" data-series=${s.id}></canvas>`
    }</span>
      <span class="what">
        <span class="name"><b>${nameOf(s)}</b>${
          tag === ''
            ? html`<span class="do">Open</span>`
            : html`<span class="tag ${s.localizer ? '' : 'no'}">${tag}</span>`
        }</span>
        <span class="facts">${this.#facts(s, study).map(([name, value]) => html`<span>${name}</span><span>${value}</span>`)}</span>
      </span>`
  }

  #facts(s: SeriesSummary, study: string): [string, unknown][] {
    const [columns, rows, slices] = s.shape
    const tight = s.memory.volumeBytes > this.budgetBytes
    const memory = html`${megabytes(s.memory.volumeBytes)}${
      tight
        ? html`, <b>more than the ${megabytes(this.budgetBytes)} there are</b>: half or a part of it`
        : nothing
    }`
    const all: [string, unknown][] = [
      ['study', study],
      ['modality', s.modality || 'not given'],
      ['voxels', `${columns} × ${rows}, ${count(slices, 'slice')}`],
      [
        'voxel',
        s.localizer ? '' : s.spacingMm === null ? 'size not known' : `${voxelSize(s.spacingMm)}\u202fmm`,
      ],
      ['memory', s.localizer ? '' : memory],
      ['report', s.localizer || s.report.length > 0 ? '' : 'no warnings'],
    ]
    return all.filter(([, value]) => value !== '')
  }

  #reasons(s: SeriesSummary, confirm: () => void): TemplateResult {
    const blocks = s.report.filter((r) => r.level === 'block')
    const others = s.report.filter((r) => r.level !== 'block')
    if (s.report.length === 0) return html``
    return html`<div class="reasons">
      ${
        !s.usable && s.questions.length > 0
          ? html`<button class="door" @click=${confirm} aria-label="Confirm the geometry of ${nameOf(s)}">Confirm the geometry</button>`
          : nothing
      }
      ${blocks.length > 0 ? html`<alv-load-report full .report=${blocks} .explain=${this.explain}></alv-load-report>` : nothing}
      ${
        others.length > 0
          ? html`<details class="found"><summary>${counted(others)}</summary>
              <alv-load-report full .report=${others} .explain=${this.explain}></alv-load-report></details>`
          : nothing
      }
    </div>`
  }

  #doors(): HTMLElement[] {
    return [...(this.shadowRoot?.querySelectorAll<HTMLElement>('.door') ?? [])]
  }

  #key(event: KeyboardEvent): void {
    const step = arrowKeys[event.key]
    const doors = this.#doors()
    const at = doors.indexOf(event.target as HTMLElement)
    if (step === undefined || at < 0) return
    event.preventDefault()
    doors[Math.min(doors.length - 1, Math.max(0, at + step[0] + step[1]))]?.focus()
  }
}

/** "19700305" -> "1970-03-05"; anything else as it is. */
const dateOf = (date: string): string => date.trim().replace(/^(\d{4})(\d\d)(\d\d)$/, '$1-$2-$3')

/** What stands where a usable series has its Open. */
function tagOf(s: SeriesSummary): string {
  if (s.localizer) return 'scout'
  if (s.usable) return ''
  return s.questions.length > 0 ? 'to be confirmed' : 'cannot be measured'
}

/** "1 warning, 2 notes" */
function counted(report: readonly ReportEntry[]): string {
  const of = (level: ReportEntry['level']): number => report.filter((r) => r.level === level).length
  const [warnings, notes] = [of('warn'), of('note')]
  return [warnings > 0 ? count(warnings, 'warning') : '', notes > 0 ? count(notes, 'note') : '']
    .filter(Boolean)
    .join(', ')
}

const differ = (patients: readonly Patient[]): string =>
  new Set(patients.map((p) => p.person.id)).size > 1
    ? `Scans of ${patients.length} patients are in this pick.`
    : `The scans in this pick carry ${patients.length} different names or birth dates.`

/** A file that is no DICOM goes by its own name. */
const nameOf = ({ id, description, modality, studyUid }: SeriesSummary): string =>
  description.trim() || (studyUid === '' ? id : `${modality} series without a name`.trim())
