import {
  type Assessment,
  fixtureProfile,
  type ImagePlane,
  type Plan,
  withScan,
  writePlan,
} from '@alveometer/core'
import type { GreyImage, GreyWindow } from '../drawing/grey.js'
import { nearestRow } from '../drawing/margin-at.js'
import { Engine } from '../engine/engine.js'
import { EngineError } from '../engine/engine-error.js'
import type { Across, FrameImages, Progress, ReportLine, ScanFacts, ScanSource } from '../engine/protocol.js'
import type { TaskOptions } from '../engine/requests.js'
import type { PlanMove } from '../events.js'
import { defaultPlan } from '../session/default-plan.js'
import { PlanSession } from '../session/plan-session.js'
import { sameGeometry } from './confirmed.js'
import { CrownFiles } from './crown-files.js'
import { Intake, type Opened } from './intake.js'
import { keepPlan, keptPlan } from './kept-plans.js'
import { Measurement } from './measurement.js'
import type { Question } from './question.js'
import { isOfAnother, recordOf, startingPlan } from './starting-plan.js'

/** `asking`: something has to be chosen or confirmed before the scan can be opened. */
export type WorkState = 'loading' | 'asking' | 'measuring' | 'ready'

/** Where the collar lies at first: below the platform by what the crest usually loses in the first year. */
const firstCollarMm = 1
/** So far above the platform may it be put to point at the neighbours: no crown is longer. */
const highestMm = 25

/**
 * One scan and one plan on the table, and the engine that measures them. Holds what the page shows and nothing it
 * measures itself.
 *
 * @fires change whenever anything to be shown is another.
 */
export class Workbench extends EventTarget {
  readonly session: PlanSession
  readonly intake: Intake
  readonly measurement: Measurement
  facts: ScanFacts | null = null
  report: readonly ReportLine[] = []
  window: GreyWindow = { low: -1000, high: 2500 }
  /** True when what was confirmed earlier was taken from a plan, until that was read. */
  applied = false
  /** Meshes of planned crowns, and what is asked about one. */
  readonly crowns: CrownFiles
  #collarMm = firstCollarMm
  #raisedMm: number | null = null
  #hasPlan = false
  #placed: Plan | null = null
  readonly #engine: Engine

  constructor(engine: Engine = new Engine()) {
    super()
    this.#engine = engine
    engine.addEventListener('lost', (event) => this.#lose((event as CustomEvent<EngineError>).detail))
    this.intake = new Intake(engine, {
      changed: () => this.#refresh(),
      plansOf: (seriesUid) => [this.session.plan, keptPlan({ seriesUid })],
      adopt: (opened, task) => this.#adopt(opened, task),
    })
    const nowhere = { seriesUid: '', frameOfReferenceUid: '', fingerprint: '', centre: [0, 0, 0] as const }
    this.session = new PlanSession(defaultPlan(nowhere))
    this.session.addEventListener('plan-change', () => {
      const { moving } = this.session
      if (this.#hasPlan && !moving && this.facts !== null) keepPlan(this.savedPlan)
      this.#refresh()
    })
    this.crowns = new CrownFiles(engine, {
      plan: () => this.session.plan,
      adopt: (next) => this.move({ phase: 'step', plan: next }),
      changed: () => this.#refresh(),
      refuse: (message) => this.refuse(message),
    })
    this.measurement = new Measurement(engine, this, () => this.#tell())
  }

  get progress(): Progress | null {
    return this.intake.progress
  }

  get fault(): EngineError | null {
    return this.intake.fault
  }

  get question(): Question | null {
    return this.intake.question
  }

  get state(): WorkState {
    if (this.progress !== null) return 'loading'
    if (this.question !== null) return 'asking'
    if (this.facts === null) return 'loading'
    const { current, trouble } = this.measurement
    const idle = trouble !== '' || this.uncalibrated || this.missing !== null
    return current || idle ? 'ready' : 'measuring'
  }

  /** The latest numbers: of the plan on the table when `state` is `ready`. */
  get assessment(): Assessment | null {
    return this.measurement.assessment
  }

  get images(): FrameImages {
    return this.measurement.images
  }

  /** Resolves when nothing better comes for the plan on the table: to its refined numbers, or null when it has none. */
  async settled(): Promise<Assessment | null> {
    while (this.state !== 'ready' || this.measurement.doing !== '')
      await new Promise((done) => this.addEventListener('change', done, { once: true }))
    return this.assessment
  }

  /** True when calibration was stopped or failed: the scan is shown, nothing is measured on it. */
  get uncalibrated(): boolean {
    return this.facts !== null && !this.measurement.prepared && this.progress === null
  }

  /** The plan as it is to be kept: with its scan's remarks and what of its geometry was confirmed. */
  get savedPlan(): Plan {
    const { plan } = this.session
    return this.facts === null || this.mismatch ? plan : withScan(plan, recordOf(this.facts))
  }

  /** The mesh file that the plan's crown needs and that is not here; nothing is measured without it. */
  get missing(): string | null {
    return this.crowns.missing(this.session.plan)
  }

  get engine(): Engine {
    return this.#engine
  }

  /** Where the collar lies instead while it is raised, as depth below the platform, mm: negative above it. */
  get raisedMm(): number | null {
    return this.#raisedMm
  }

  /** Depth of the collar below the platform, mm. */
  get collarDepthMm(): number {
    const { lengthMm } = fixtureProfile(this.session.plan.fixture.shape)
    const wanted = Math.min(lengthMm, Math.max(0, this.#collarMm))
    const margin = this.assessment?.margin
    return margin?.depthsMm[nearestRow(margin, wanted)] ?? wanted
  }

  set collarDepthMm(depthMm: number) {
    const { lengthMm } = fixtureProfile(this.session.plan.fixture.shape)
    this.#collarMm = Math.min(lengthMm, Math.max(0, depthMm))
    this.#tell()
  }

  /** Puts the collar to another depth, above the platform too, until it is put back by null. */
  raiseCollar(depthMm: number | null): void {
    const { lengthMm } = fixtureProfile(this.session.plan.fixture.shape)
    this.#raisedMm = depthMm === null ? null : Math.min(lengthMm, Math.max(-highestMm, depthMm))
    this.#tell()
  }

  /** True while the plan is the one put into the middle of the scan, untouched. */
  get placeholder(): boolean {
    return this.session.plan === this.#placed
  }

  /** True when the plan was made on another scan than the one loaded. */
  get mismatch(): boolean {
    return this.facts !== null && isOfAnother(this.session.plan, this.facts)
  }

  /**
   * Opens a scan and calibrates it; resolves when that is done, has failed (`fault`), was stopped, or something has to
   * be asked first (`question`).
   */
  open(source: ScanSource, options: { seriesUid?: string; plan?: Plan } = {}): Promise<void> {
    return this.intake.open(source, options)
  }

  /** Pictures of the scan whose geometry is being confirmed. */
  readonly previewPicture = (across: Across, index: number): Promise<GreyImage> =>
    this.#engine.previewImage(across, index)

  /** That earlier answers were applied was read. */
  readApplied(): void {
    this.applied = false
    this.#tell()
  }

  /** Calibrates a scan whose calibration was stopped. */
  calibrate(): Promise<void> {
    return this.intake.resume((task) => this.measurement.prepare(task))
  }

  /** Puts a plan on the table; the one before can be had back with undo. */
  setPlan(plan: Plan): void {
    this.#hasPlan = true
    this.session.update(plan)
  }

  /**
   * Opens a plan by itself. What it says of its scan's geometry answers what is being asked, or opens the scan on the
   * table again where that was confirmed otherwise.
   */
  openPlan(plan: Plan): Promise<void> {
    const { facts } = this
    if (this.intake.takePlan(plan)) return Promise.resolve()
    const { seriesUid, confirmed } = plan.scan
    const other = confirmed !== undefined && !sameGeometry(confirmed, facts?.confirmed)
    if (facts?.confirmed !== undefined && seriesUid === facts.seriesUid && other)
      return this.intake.reopen(plan)
    this.setPlan(plan)
    return Promise.resolve()
  }

  /** A plan to start from for another tooth, in the middle of the scan. */
  startPlan(tooth: string): void {
    if (this.facts !== null) this.setPlan(this.#place(this.facts, tooth))
  }

  /** Shows an error that did not come from the engine in the same place. */
  refuse(message: string): void {
    this.intake.fault = new EngineError({ name: 'Error', code: 'file', message, report: [] })
    this.#tell()
  }

  /** What the hand did in one of the drawings or fields. */
  move({ phase, plan }: PlanMove): void {
    const { session } = this
    this.#hasPlan = true
    if (phase === 'begin') session.begin()
    else if (phase === 'end') session.commit()
    else if (phase === 'cancel') session.cancel()
    else session.update(plan)
  }

  setPlane(name: string, plane: ImagePlane): void {
    this.measurement.setPlane(name, plane)
  }

  close(): void {
    this.#engine.close()
  }

  async #adopt({ facts, report, plan, applied }: Opened, task: TaskOptions): Promise<void> {
    this.facts = facts
    this.report = report
    this.applied = applied
    this.window = { low: facts.greyLow, high: facts.greyHigh }
    this.measurement.clear()
    this.#collarMm = firstCollarMm
    const stays = this.#hasPlan && !this.mismatch
    const next = plan ?? (stays ? null : this.#keptOrPlaced(facts))
    if (next !== null) {
      // The first plan has nothing before it; a later one can be undone, so that none is lost.
      if (this.#hasPlan) this.session.update(next)
      else this.session.reset(next)
    }
    this.#hasPlan ||= plan !== undefined
    // What a person confirmed is not asked twice, even if nothing was planned yet.
    if (facts.confirmed) keepPlan(this.savedPlan)
    this.#refresh()
    await this.measurement.prepare(task)
  }

  /** The worker is gone, and the scan with it; the plan is here. */
  #lose(error: EngineError): void {
    this.facts = null
    this.report = []
    this.measurement.clear()
    this.intake.lose(error)
  }

  #keptOrPlaced(facts: ScanFacts): Plan {
    const placed = this.#place(facts)
    const kept = keptPlan(facts)
    return kept !== null && writePlan(kept) !== writePlan(placed) ? kept : placed
  }

  #place(facts: ScanFacts, tooth?: string): Plan {
    const { calibration } = this.session.plan
    const placed = startingPlan(facts, tooth)
    // What a person knows of the scan's grey values holds for every tooth of it.
    this.#placed = calibration === undefined || this.mismatch ? placed : { ...placed, calibration }
    return this.#placed
  }

  #refresh(): void {
    this.measurement.ask()
    this.#tell()
  }

  #tell(): void {
    this.dispatchEvent(new Event('change'))
  }
}
