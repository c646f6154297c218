import { type Assessment, fixtureProfile, type ImagePlane, type Plan } from '@alveometer/core'
import { coarserPlane } from '../drawing/coarser-plane.js'
import type { GreyWindow } from '../drawing/grey.js'
import { Engine, EngineError } from '../engine/engine.js'
import type { FrameImages, Progress, ReportLine, ScanFacts, ScanSource } from '../engine/protocol.js'
import type { PlanMove } from '../events.js'
import { defaultPlan } from '../session/default-plan.js'
import { PlanSession } from '../session/plan-session.js'
import { keepPlan, keptPlan } from './kept-plans.js'

export type WorkState = 'loading' | 'measuring' | 'ready'

/** Where the collar lies at first: below the platform by what the crest usually loses in the first year. */
const firstCollarMm = 1

/**
 * One scan and one plan on the table, and the engine that measures them. Holds what the page shows and nothing it
 * measures itself.
 *
 * @fires change whenever anything to be shown is another.
 */
export class Workbench extends EventTarget {
  readonly session: PlanSession
  facts: ScanFacts | null = null
  report: readonly ReportLine[] = []
  assessment: Assessment | null = null
  images: FrameImages = {}
  window: GreyWindow = { low: -1000, high: 2500 }
  progress: Progress | null = null
  fault: EngineError | null = null
  /** Why the present plan could not be measured. */
  trouble = ''
  #collarMm = firstCollarMm
  #measured: Plan | null = null
  #prepared = false
  #loading: AbortController | null = null
  #source: ScanSource | null = null
  #hasPlan = false
  #placed: Plan | null = null
  readonly #planes: Record<string, ImagePlane> = {}
  /** The planes whose pictures are there or on their way: most drags leave the section's as it is. */
  #pictured: Record<string, ImagePlane> = {}
  readonly #engine: Engine

  constructor(engine: Engine = new Engine()) {
    super()
    this.#engine = engine
    const nowhere = { seriesUid: '', frameOfReferenceUid: '', fingerprint: '', centre: [0, 0, 0] as const }
    this.session = new PlanSession(defaultPlan(nowhere))
    this.session.addEventListener('plan-change', () => {
      const { plan, moving } = this.session
      if (this.#hasPlan && !moving && this.facts !== null) keepPlan(plan.scan.seriesUid, plan)
      this.#refresh()
    })
  }

  get state(): WorkState {
    if (this.progress !== null || this.facts === null) return 'loading'
    return this.#measured === this.session.plan || this.trouble !== '' ? 'ready' : 'measuring'
  }

  get engine(): Engine {
    return this.#engine
  }

  get collarDepthMm(): number {
    const { lengthMm } = fixtureProfile(this.session.plan.fixture.shape)
    const wanted = Math.min(lengthMm, Math.max(0, this.#collarMm))
    const rows = this.assessment?.margin.depthsMm ?? []
    return rows.reduce(
      (best, d) => (Math.abs(d - wanted) < Math.abs(best - wanted) ? d : best),
      rows[0] ?? wanted,
    )
  }

  set collarDepthMm(depthMm: number) {
    const { lengthMm } = fixtureProfile(this.session.plan.fixture.shape)
    this.#collarMm = Math.min(lengthMm, Math.max(0, depthMm))
    this.#tell()
  }

  /** True while the plan is the one put into the middle of the scan, untouched. */
  get placeholder(): boolean {
    return this.session.plan === this.#placed
  }

  /** True when the plan was made on another scan than the one loaded. */
  get mismatch(): boolean {
    const { seriesUid } = this.session.plan.scan
    return this.facts !== null && seriesUid !== '' && seriesUid !== this.facts.seriesUid
  }

  /** Opens a scan and calibrates it; resolves when that is done, has failed (`fault`) or was stopped. */
  async open(source: ScanSource, options: { seriesUid?: string; plan?: Plan } = {}): Promise<void> {
    const controller = this.#start(source)
    const { signal } = controller
    const onProgress = (progress: Progress): void => {
      if (this.#loading !== controller) return
      this.progress = progress
      this.#tell()
    }
    try {
      const seriesUid = options.seriesUid === undefined ? {} : { seriesUid: options.seriesUid }
      const { facts, report } = await this.#engine.open(source, { ...seriesUid, signal, onProgress })
      this.#adopt(facts, report, options.plan)
      await this.#engine.prepare({ signal, onProgress })
      this.#prepared = true
    } catch (error) {
      if (error instanceof EngineError) this.fault = error
      else if (!(error instanceof DOMException && error.name === 'AbortError')) throw error
    } finally {
      if (this.#loading === controller) {
        this.#loading = null
        this.progress = null
      }
      this.#refresh()
    }
  }

  /** Opens one of several series of the pick that was tried last. */
  choose(seriesUid: string): Promise<void> {
    return this.#source === null ? Promise.resolve() : this.open(this.#source, { seriesUid })
  }

  cancel(): void {
    this.#loading?.abort()
  }

  dismiss(): void {
    this.fault = null
    this.#tell()
  }

  /** Puts a plan on the table; the one before can be had back with undo. */
  setPlan(plan: Plan): void {
    this.#hasPlan = true
    this.session.update(plan)
  }

  /** A plan to start from for another tooth, in the middle of the scan. */
  startPlan(tooth: string): void {
    if (this.facts !== null) this.setPlan(this.#place(this.facts, tooth))
  }

  /** Shows an error that did not come from the engine in the same place. */
  refuse(message: string): void {
    this.fault = new EngineError({ name: 'Error', code: 'file', message, report: [], series: [] })
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
    this.#planes[name] = plane
    this.#ask()
  }

  close(): void {
    this.#engine.close()
  }

  #start(source: ScanSource): AbortController {
    this.#loading?.abort()
    this.#source = source
    this.#loading = new AbortController()
    this.fault = null
    this.progress = { stage: 'headers', done: 0, total: 0 }
    this.#tell()
    return this.#loading
  }

  #adopt(facts: ScanFacts, report: readonly ReportLine[], plan: Plan | undefined): void {
    this.facts = facts
    this.report = report
    this.window = { low: facts.greyLow, high: facts.greyHigh }
    this.assessment = null
    this.#pictured = {}
    this.#measured = null
    this.#prepared = false
    this.#collarMm = firstCollarMm
    const stays = this.#hasPlan && !this.mismatch
    const next = plan ?? (stays ? null : (keptPlan(facts.seriesUid) ?? this.#place(facts)))
    if (next !== null) {
      // The first plan has nothing before it; a later one can be undone, so that none is lost.
      if (this.#hasPlan) this.session.update(next)
      else this.session.reset(next)
    }
    this.#hasPlan ||= plan !== undefined
    this.#refresh()
  }

  #place(facts: ScanFacts, tooth?: string): Plan {
    this.#placed = defaultPlan(facts, tooth)
    return this.#placed
  }

  #refresh(): void {
    this.#ask()
    this.#tell()
  }

  #ask(): void {
    if (this.facts === null) return
    const { plan } = this.session
    this.#engine.frame({
      request: () => {
        const planes = this.#missingPlanes()
        const measure = this.#prepared && this.#measured !== plan
        return measure || Object.keys(planes).length > 0 ? { plan, planes, measure } : null
      },
      onImages: (images) => {
        this.images = { ...this.images, ...images }
        this.#tell()
      },
      onMeasured: (result) => {
        if (result === null) return
        this.trouble = ''
        this.assessment = result
        this.#measured = plan
        this.#tell()
      },
      onFault: (error) => {
        // No number rather than that of another plan, and every picture anew.
        this.#pictured = {}
        this.trouble = error.message
        this.assessment = null
        this.#measured = null
        this.#tell()
      },
    })
  }

  /** The planes that have no picture yet, at a step that misses nothing of the voxels. */
  #missingPlanes(): Record<string, ImagePlane> {
    const missing = Object.entries(this.#planes).filter(([name, plane]) => this.#pictured[name] !== plane)
    this.#pictured = { ...this.#planes }
    const stepMm = Math.min(...(this.facts?.spacingMm ?? [0])) / 2
    return Object.fromEntries(missing.map(([name, plane]) => [name, coarserPlane(plane, stepMm)]))
  }

  #tell(): void {
    this.dispatchEvent(new Event('change'))
  }
}
