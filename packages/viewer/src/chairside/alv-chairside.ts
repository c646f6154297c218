import type { Assessment, CrownMarks } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import { AlvCollar } from '../collar/index.js'
import type { AlvDecision } from '../decision/index.js'
import type { GreyWindow } from '../drawing/grey.js'
import type { ReportLine } from '../engine/protocol.js'
import type { AlvEvents } from '../events.js'
import type { GreyPick } from '../grey-calibration/index.js'
import type { Explain } from '../load-report/alv-load-report.js'
import { type DroppedFile, droppedFiles } from '../load-report/dropped.js'
import { markCrown } from '../session/crown-moves.js'
import { withCalibration } from '../session/moves.js'
import type { PlanSession } from '../session/plan-session.js'
import { panel, tokens } from '../sheet/index.js'
import { asking } from './asking.js'
import { chairsideStyle } from './chairside-style.js'
import { placeCollar } from './collar-place.js'
import { CrownOutline } from './crown-outline.js'
import { decidingStyle } from './deciding-style.js'
import { type FormShown, forms } from './forms.js'
import { greyGoal } from './grey-goal.js'
import { greySliders } from './grey-sliders.js'
import { header } from './header.js'
import { Lag } from './lag.js'
import { neighbourGoal } from './neighbour-goal.js'
import { notices } from './notices.js'
import { numbers } from './numbers.js'
import { openFiles, openSample } from './opening.js'
import { Pointing } from './pointing.js'
import { printedStyle } from './printed-style.js'
import { printWhen } from './printing.js'
import { SceneBodies } from './scene-bodies.js'
import { spoken } from './spoken.js'
import { type TopShown, topFigure } from './top-figure.js'
import { undoKeys } from './undo-keys.js'
import { Workbench } from './workbench.js'

const noReport: readonly ReportLine[] = []

/**
 * The surgeon's page: one scan, one plan, the section with what is measured on it. Drop a folder, files or a zip
 * anywhere to open a scan, a plan's JSON to open a plan.
 *
 * `data-state`: `loading`, `asking` (a series has to be chosen or its geometry confirmed), `measuring` (the numbers
 * belong to an earlier place) or `ready`. `data-mode`: `fast` or `refined`, as the numbers are; absent without any.
 * Keys: Ctrl or Cmd + Z undo, with Shift or Ctrl + Y redo.
 */
export class AlvChairside extends LitElement {
  static override styles = [tokens, panel, chairsideStyle, printedStyle, decidingStyle]

  /** `paper`, `night`, or absent to follow the system. */
  @property({ reflect: true }) sheet: 'paper' | 'night' | null = null
  /** A scan and a plan of this origin to begin with. */
  @property({ attribute: 'scan-src' }) scanSource: string | null = null
  @property({ attribute: 'plan-src' }) planSource: string | null = null
  /** Looks up what a code of the load report means, as Markdown. */
  @property({ attribute: false }) explain: Explain | null = null
  /** The most that a scan may take, megabytes; by the memory of the device when absent. */
  @property({ attribute: 'memory-mb', type: Number }) memoryMb: number | null = null
  @state() private dropping = false
  @state() private top: TopShown = 'collar'
  @state() private form: FormShown = 'fixture'
  @state() private deciding = false
  @query('alv-decision') private decision?: AlvDecision
  /** The landmark of a mesh crown that is asked for. */
  @state() private marking: keyof CrownMarks | null = null
  /** The last grey value read from a drawing. */
  @state() private pick: GreyPick | null = null
  readonly workbench: Workbench = new Workbench()
  readonly #dark = matchMedia('(prefers-color-scheme: dark)')
  readonly #bodies = new SceneBodies()
  readonly #outline = new CrownOutline()
  readonly #lag = new Lag(() => this.requestUpdate())
  readonly #pointing = new Pointing(() => this.requestUpdate())
  #asked = ''

  /** The latest assessment; null before there is one. */
  get assessment(): Assessment | null {
    return this.workbench.assessment
  }

  /** Resolves when the numbers of the plan on the table are as good as they will be; to null when it has none. */
  settled(): Promise<Assessment | null> {
    return this.workbench.settled()
  }

  get session(): PlanSession {
    return this.workbench.session
  }

  override connectedCallback(): void {
    super.connectedCallback()
    this.workbench.addEventListener('change', this.#changed)
    window.addEventListener('keydown', this.#keys)
    this.#dark.addEventListener('change', this.#changed)
    for (const type of ['dragenter', 'dragover', 'dragleave', 'drop'] as const)
      window.addEventListener(type, this.#dropping)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.workbench.removeEventListener('change', this.#changed)
    window.removeEventListener('keydown', this.#keys)
    this.#dark.removeEventListener('change', this.#changed)
    for (const type of ['dragenter', 'dragover', 'dragleave', 'drop'] as const)
      window.removeEventListener(type, this.#dropping)
    this.workbench.close()
  }

  override firstUpdated(): void {
    if (this.scanSource !== null) void openSample(this.workbench, this.scanSource, this.planSource)
  }

  override willUpdate(changed: PropertyValues): void {
    const { state } = this.workbench
    this.dataset.state = state
    const mode = this.assessment?.margin.mode
    if (mode === undefined) delete this.dataset.mode
    else this.dataset.mode = mode
    if (changed.has('memoryMb') && this.memoryMb !== null)
      this.workbench.intake.budgetBytes = this.memoryMb * 2 ** 20
    this.#lag.follow(this.assessment, state === 'measuring')
    this.toggleAttribute('data-late', this.#lag.late)
  }

  override updated(): void {
    const kind = this.workbench.question?.kind ?? ''
    if (kind === this.#asked) return
    this.#asked = kind
    // The focus goes along to what is asked now; its contents are drawn one update later.
    const panel = this.renderRoot.querySelector<LitElement>('main.asking > *')
    void panel?.updateComplete.then(() => panel.focus())
  }

  override render(): TemplateResult {
    const { assessment, workbench } = this
    const { question } = workbench
    const { doing } = workbench.measurement
    const quiet = workbench.state === 'ready' && doing === ''
    // While something is asked, no number of the scan before may be taken for one of the scan to come.
    return html`<div>${header(workbench, {
      night: this.#isNight(),
      open: (files) => void this.openFiles(files),
      deciding: this.deciding,
      turnSheet: () => this.#turnSheet(),
      decide: (deciding) => {
        this.deciding = deciding
      },
    })}${notices(workbench, this.explain)}</div>${question === null ? this.#main() : asking(workbench, question, this.explain)}
      <alv-title-block .facts=${question === null ? workbench.facts : null} .report=${question === null ? workbench.report : noReport} .explain=${this.explain}></alv-title-block>
      <p class="spoken" role="status">${quiet ? spoken(assessment) : ''}</p>
      ${this.dropping ? html`<div class="drop">Drop the scan (folder, files or zip) or a plan</div>` : nothing}`
  }

  #main(): TemplateResult {
    const { workbench: bench, assessment } = this
    const { plan, moving } = this.session
    const { wanted, words, goal } = this.#pointing
    const { crowns } = bench
    const placed = crowns.placed(plan)
    const collarDepthMm = bench.collarDepthMm
    const stale = this.#lag.late
    const cloud = this.decision?.cloud ?? null
    return html`<main class=${this.deciding ? 'deciding' : ''} @alv-plan=${this.#moved} @alv-view=${this.#viewed} @alv-collar-depth=${this.#collared}
        @alv-pick=${this.#pointed} @alv-pick-grey=${this.#askGrey} @alv-grey-calibration=${this.#calibrated}
        @alv-pick-neighbour=${this.#askNeighbour} @alv-mark-crown=${this.#askMark} @alv-crown-mark=${this.#marked}
        @alv-crown-file=${(e: AlvEvents['alv-crown-file']) => crowns.read(e.detail.file)}>
      <figure class="section">
        <figcaption>${wanted ? html`<strong role="status">${words}</strong>` : html`<strong>Section<span class="roomy"> through the axis</span></strong>${greySliders(bench.window, bench.facts, (w) => this.#setWindow(w))}`}</figcaption>
        <alv-section ?stale=${stale} ?picking=${wanted} .plan=${plan} .assessment=${assessment} .placed=${placed}
          .outline=${this.#outline.of(plan, placed)} .image=${bench.images.section ?? null} .window=${bench.window}
          .collarDepthMm=${collarDepthMm} .cloud=${cloud}></alv-section>
      </figure>
      <div class="strip">
        <alv-decision class="decide" ?open=${this.deciding} .workbench=${bench} @change=${() => this.requestUpdate()}></alv-decision>
        ${topFigure(
          {
            ...{ shown: this.top, plan, placed, assessment, stale, moving },
            collarDepthMm: bench.raisedMm ?? collarDepthMm,
            ...{ night: this.#isNight(), ...this.#bodies.shown, window: bench.window },
            ...{ image: bench.images.collar ?? null, picking: wanted, marking: this.marking },
          },
          (top) => this.#show(top),
        )}
        <alv-margin-map class="map" .margin=${assessment?.margin ?? null} .graft=${assessment?.graft ?? null} tooth=${plan.site.tooth} .collarDepthMm=${collarDepthMm}></alv-margin-map>
        ${numbers({
          ...{ assessment: this.#lag.numbers(moving), plan, placed, doing: bench.measurement.doing },
          ...{ pick: this.pick, pickable: bench.facts !== null, waiting: goal?.key === 'grey' },
        })}
        ${forms(
          { shown: this.form, plan, placed, waiting: goal?.key ?? '', marking: this.marking },
          (form) => {
            this.form = form
          },
        )}
      </div>
    </main>`
  }

  #setWindow(next: GreyWindow): void {
    this.workbench.window = next
    this.requestUpdate()
  }

  #isNight(): boolean {
    return this.sheet === null ? this.#dark.matches : this.sheet === 'night'
  }

  #turnSheet(): void {
    this.sheet = this.#isNight() ? 'paper' : 'night'
  }

  /** The 3D view and its library are fetched when they are first asked for. */
  async #show(top: TopShown): Promise<void> {
    this.top = top
    this.marking = null
    if (top !== '3d') return
    const { defineScene } = await import('../scene/index.js')
    defineScene()
    await this.#followBodies()
  }

  readonly #followBodies = (): Promise<void> =>
    this.#bodies.follow(this.workbench, () => this.requestUpdate())

  readonly #changed = (): void => {
    if (this.top === '3d') void this.#followBodies()
    this.requestUpdate()
  }

  #moved(event: AlvEvents['alv-plan']): void {
    this.workbench.move(event.detail)
  }

  #viewed(event: AlvEvents['alv-view']): void {
    this.workbench.setPlane(event.detail.name, event.detail.plane)
  }

  #collared({ detail: { depthMm }, target }: AlvEvents['alv-collar-depth']): void {
    placeCollar(this.workbench, depthMm, target instanceof AlvCollar, this.#pointing.wanted)
  }

  #pointed(event: AlvEvents['alv-pick']): void {
    void this.#pointing.take(event.detail)
  }

  readonly #askGrey = (): void =>
    this.#pointing.ask(
      greyGoal(this.workbench.engine, (pick) => {
        this.pick = pick
      }),
    )

  /** Contacts and cervical lines of the neighbours lie beside the crown: the slice goes there meanwhile. */
  #askNeighbour({ detail }: AlvEvents['alv-pick-neighbour']): void {
    this.top = 'collar'
    this.#pointing.ask(neighbourGoal(this.workbench, detail))
  }

  #askMark({ detail }: AlvEvents['alv-mark-crown']): void {
    if (detail.mark !== null) this.top = 'crown'
    this.marking = detail.mark
  }

  #marked({ detail: { mark, at } }: AlvEvents['alv-crown-mark']): void {
    this.marking = null
    this.workbench.move({ phase: 'step', plan: markCrown(this.session.plan, mark, at) })
  }

  #calibrated({ detail }: AlvEvents['alv-grey-calibration']): void {
    this.workbench.move({ phase: 'step', plan: withCalibration(this.session.plan, detail.calibration) })
  }

  readonly #keys = (event: KeyboardEvent): void => {
    const { state, measurement } = this.workbench
    const busy = state === 'measuring' || (state === 'ready' && measurement.doing === 'refining')
    if (printWhen(event, busy, () => this.settled())) return
    if (event.key === 'Escape') this.#leavePointing()
    if (this.workbench.question === null) undoKeys(event, this.session)
  }

  #leavePointing(): void {
    this.marking = null
    if (this.#pointing.wanted) this.#pointing.leave()
  }

  readonly #dropping = async (event: DragEvent): Promise<void> => {
    if (!event.dataTransfer?.types.includes('Files')) return
    event.preventDefault()
    this.dropping = event.type === 'dragenter' || event.type === 'dragover'
    if (event.type === 'drop') await this.openFiles(await droppedFiles(event.dataTransfer))
  }

  /** Opens what was picked or dropped: a plan's JSON, a scan, or both. Resolves when the scan is ready or refused. */
  openFiles(files: readonly DroppedFile[]): Promise<void> {
    return openFiles(this.workbench, files)
  }
}
