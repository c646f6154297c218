import type { Assessment, Finding } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import type { GreyWindow } from '../drawing/grey.js'
import type { ReportLine } from '../engine/protocol.js'
import type { AlvEvents } from '../events.js'
import type { Explain } from '../load-report/alv-load-report.js'
import { type DroppedFile, droppedFiles } from '../load-report/dropped.js'
import { withCalibration } from '../session/moves.js'
import type { PlanSession } from '../session/plan-session.js'
import { panel, tokens } from '../sheet/index.js'
import { mm } from '../text/format.js'
import { productName, teeth } from '../text/words.js'
import { asking } from './asking.js'
import { BoneShown } from './bone-shown.js'
import { chairsideStyle } from './chairside-style.js'
import { CrownOutline, placedCrown } from './crown-outline.js'
import { greySliders } from './grey-sliders.js'
import { Lag } from './lag.js'
import { notices } from './notices.js'
import { openFiles, openSample } from './opening.js'
import { downloadPlan } from './plan-file.js'
import { Pointing } from './pointing.js'
import { printedStyle } from './printed-style.js'
import { printWhen } from './printing.js'
import { spoken } from './spoken.js'
import { Workbench } from './workbench.js'

const noFindings: readonly Finding[] = []
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
  static override styles = [tokens, panel, chairsideStyle, printedStyle]

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
  @state() private threeD = false
  @query('input.files') private filesInput?: HTMLInputElement
  @query('input.folder') private folderInput?: HTMLInputElement
  @query('input.plan') private planInput?: HTMLInputElement
  readonly workbench: Workbench = new Workbench()
  readonly #dark = matchMedia('(prefers-color-scheme: dark)')
  readonly #bone = new BoneShown()
  readonly #outline = new CrownOutline()
  readonly #lag = new Lag(() => this.requestUpdate())
  readonly #pointing = new Pointing(this.workbench.engine, () => this.requestUpdate())
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
    return html`${this.#header()}${question === null ? this.#main() : asking(workbench, question, this.explain)}
      <alv-title-block .facts=${question === null ? workbench.facts : null} .report=${question === null ? workbench.report : noReport} .explain=${this.explain}></alv-title-block>
      <p class="spoken" role="status">${quiet ? spoken(assessment) : ''}</p>
      ${this.dropping ? html`<div class="drop">Drop the scan (folder, files or zip) or a plan</div>` : nothing}`
  }

  #header(): TemplateResult {
    const { workbench: bench, session } = this
    const { tooth } = session.plan.site
    const asked = bench.question !== null
    return html`<div><header>
        <h1>${productName}</h1>
        <button @click=${() => this.filesInput?.click()}>Open scan</button>
        <button class="roomy" @click=${() => this.folderInput?.click()}>Open folder</button>
        <span class="gap"></span>
        <label>tooth <select .value=${tooth} ?disabled=${asked} @change=${this.#chooseTooth} aria-label="Tooth, ISO 3950">
          ${teeth.map((t) => html`<option value=${t} ?selected=${t === tooth}>${t}</option>`)}</select></label>
        <button @click=${() => this.planInput?.click()}>Open plan</button>
        <button ?disabled=${asked} @click=${() => downloadPlan(bench.savedPlan)}>Save plan</button>
        <button ?disabled=${asked || !session.canUndo} @click=${() => session.undo()}>Undo</button>
        <button ?disabled=${asked || !session.canRedo} @click=${() => session.redo()}>Redo</button>
        <span class="gap"></span>
        <button class="roomy" @click=${this.#turnSheet}>${this.#isNight() ? 'Paper sheet' : 'Night sheet'}</button>
        <input class="files" type="file" multiple hidden @change=${this.#picked} />
        <input class="folder" type="file" webkitdirectory hidden @change=${this.#picked} />
        <input class="plan" type="file" accept=".json,application/json" hidden @change=${this.#picked} />
      </header>
      ${notices(bench, this.explain)}</div>`
  }

  #main(): TemplateResult {
    const { workbench: bench, assessment } = this
    const { plan, moving } = this.session
    const { doing } = bench.measurement
    const { wanted, words, pick } = this.#pointing
    const depth = bench.collarDepthMm
    const stale = this.#lag.late
    const numbers = this.#lag.numbers(moving)
    return html`<main @alv-plan=${this.#moved} @alv-view=${this.#viewed} @alv-collar-depth=${this.#collared}
        @alv-pick=${this.#pointed} @alv-pick-grey=${() => this.#pointing.ask()} @alv-grey-calibration=${this.#calibrated}>
      <figure class="section">
        <figcaption>${wanted ? html`<strong role="status">${words}</strong>` : html`<strong>Section<span class="roomy"> through the axis</span></strong>`}${greySliders(bench.window, bench.facts, (w) => this.#setWindow(w))}</figcaption>
        <alv-section ?stale=${stale} ?picking=${wanted} .plan=${plan} .assessment=${assessment} .outline=${this.#outline.of(plan)}
          .image=${bench.images.section ?? null} .window=${bench.window} .collarDepthMm=${depth}></alv-section>
      </figure>
      <div class="strip">
        <figure class="top">
          <figcaption><strong>${this.threeD ? 'Fixture in the bone' : `Collar, ${mm(depth)} deep`}</strong>
            <button aria-pressed=${!this.threeD} @click=${() => this.#show3D(false)}>Collar</button>
            <button aria-pressed=${this.threeD} @click=${() => this.#show3D(true)}>3D</button></figcaption>
          ${
            this.threeD
              ? html`<alv-scene see-through .bone=${this.#bone.mesh} .crown=${placedCrown(plan)} .plan=${plan}
            .exit=${assessment?.exit ?? null} sheet=${this.#isNight() ? 'night' : 'paper'}></alv-scene>`
              : html`<alv-collar ?stale=${stale} ?picking=${wanted} .plan=${plan} .assessment=${assessment}
            .image=${bench.images.collar ?? null} .window=${bench.window} .collarDepthMm=${depth} ?moving=${moving}></alv-collar>`
          }
        </figure>
        <alv-margin-map class="map" .margin=${assessment?.margin ?? null} tooth=${plan.site.tooth} .collarDepthMm=${depth}></alv-margin-map>
        <div class="numbers">
          <div class="group">
          <alv-exit .exit=${numbers?.exit ?? null} tooth=${plan.site.tooth}></alv-exit>
          <alv-margin .margin=${numbers?.margin ?? null} tooth=${plan.site.tooth} doing=${doing}></alv-margin>
          </div><div class="group">
          <alv-findings .findings=${numbers?.findings ?? noFindings}></alv-findings>
          </div><div class="group">
          <div class="density">
            <alv-density .density=${numbers?.density ?? null}></alv-density>
            <details class="calibrate"><summary>${plan.calibration === undefined ? 'Calibrate grey values' : 'Calibration of grey values'}</summary>
              <alv-grey-calibration .calibration=${plan.calibration} .pick=${pick} ?pickable=${bench.facts !== null} ?waiting=${wanted}></alv-grey-calibration></details>
          </div>
          </div>
        </div>
        <alv-placement class="place" .plan=${plan}></alv-placement>
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
  async #show3D(show: boolean): Promise<void> {
    this.threeD = show
    if (!show) return
    const { defineScene } = await import('../scene/index.js')
    defineScene()
    await this.#followBone()
  }

  async #followBone(): Promise<void> {
    if (await this.#bone.follow(this.workbench)) this.requestUpdate()
  }

  #chooseTooth(event: Event): void {
    this.workbench.startPlan((event.target as HTMLSelectElement).value)
  }

  readonly #changed = (): void => {
    if (this.threeD) void this.#followBone()
    this.requestUpdate()
  }

  #moved(event: AlvEvents['alv-plan']): void {
    this.workbench.move(event.detail)
  }

  #viewed(event: AlvEvents['alv-view']): void {
    this.workbench.setPlane(event.detail.name, event.detail.plane)
  }

  #collared(event: AlvEvents['alv-collar-depth']): void {
    this.workbench.collarDepthMm = event.detail.depthMm
  }

  #pointed(event: AlvEvents['alv-pick']): void {
    void this.#pointing.take(event.detail)
  }

  #calibrated({ detail }: AlvEvents['alv-grey-calibration']): void {
    this.workbench.move({ phase: 'step', plan: withCalibration(this.session.plan, detail.calibration) })
  }

  readonly #keys = (event: KeyboardEvent): void => {
    const { state, measurement } = this.workbench
    const busy = state === 'measuring' || (state === 'ready' && measurement.doing === 'refining')
    if (printWhen(event, busy, () => this.settled())) return
    if (event.key === 'Escape' && this.#pointing.wanted) this.#pointing.leave()
    if (!(event.ctrlKey || event.metaKey) || event.altKey || this.workbench.question !== null) return
    // A field being typed in has an undo of its own.
    if (event.composedPath()[0] instanceof HTMLInputElement) return
    const key = event.key.toLowerCase()
    if (key === 'z' && !event.shiftKey) this.session.undo()
    else if ((key === 'z' && event.shiftKey) || key === 'y') this.session.redo()
    else return
    event.preventDefault()
  }

  readonly #dropping = async (event: DragEvent): Promise<void> => {
    if (!event.dataTransfer?.types.includes('Files')) return
    event.preventDefault()
    this.dropping = event.type === 'dragenter' || event.type === 'dragover'
    if (event.type === 'drop') await this.openFiles(await droppedFiles(event.dataTransfer))
  }

  #picked(event: Event): void {
    const input = event.target as HTMLInputElement
    const files = [...(input.files ?? [])].map((file) => ({
      file,
      path: file.webkitRelativePath || file.name,
    }))
    input.value = ''
    void this.openFiles(files)
  }

  /** Opens what was picked or dropped: a plan's JSON, a scan, or both. Resolves when the scan is ready or refused. */
  openFiles(files: readonly DroppedFile[]): Promise<void> {
    return openFiles(this.workbench, files)
  }
}
