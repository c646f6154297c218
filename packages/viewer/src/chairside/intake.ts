import type { Plan } from '@alveometer/core'
import type { GeometryAnswers, Reduction, ReportEntry, SeriesSummary } from '@alveometer/scan'
import { volumeBudgetBytes } from '../engine/budget.js'
import type { Engine } from '../engine/engine.js'
import { EngineError } from '../engine/engine-error.js'
import type { OpenRequest, OpenResult, PickContents, Progress, ScanSource } from '../engine/protocol.js'
import type { TaskOptions } from '../engine/requests.js'
import { isWorthChoosing, knownPatients } from '../series-chooser/contents.js'
import { confirmedIn } from './confirmed.js'
import { lessThan, nameless, type Question, voxels } from './question.js'

/** A scan that was opened, and by what. */
export interface Opened extends OpenResult {
  /** The plan that came with the pick. */
  readonly plan: Plan | undefined
  /** True when its geometry was confirmed earlier and taken from a plan. */
  readonly applied: boolean
}

export interface IntakeHost {
  /** Something to be shown is another. */
  changed(): void
  /** Plans that may hold what was confirmed of a series, the best first. */
  plansOf(seriesUid: string): readonly (Plan | null)[]
  /** A scan was opened: take it and calibrate it. */
  adopt(opened: Opened, task: TaskOptions): Promise<void>
}

interface Picked {
  readonly source: ScanSource
  readonly plan: Plan | undefined
  readonly contents: PickContents
}

type Answered = Reduction & { readonly answers?: GeometryAnswers }

/**
 * The way of a scan onto the page: looked through, chosen, its open geometry confirmed, cut to the memory at hand,
 * loaded. Whatever comes of it, the scan opened before stays until the new one is complete.
 */
export class Intake {
  progress: Progress | null = null
  fault: EngineError | null = null
  question: Question | null = null
  /** The most a volume may take, bytes. */
  budgetBytes = volumeBudgetBytes()
  readonly #engine: Engine
  readonly #host: IntakeHost
  #running: AbortController | null = null
  #pick: Picked | null = null
  /** What was answered for the series that is too large now. */
  #answers: GeometryAnswers | null = null
  /** By which the scan on the page can be opened again, its geometry confirmed anew. */
  #opened: { readonly source: ScanSource; readonly series: SeriesSummary } | null = null

  constructor(engine: Engine, host: IntakeHost) {
    this.#engine = engine
    this.#host = host
  }

  /** Looks through a pick and opens it where nothing has to be asked. */
  open(source: ScanSource, { plan, seriesUid }: { plan?: Plan; seriesUid?: string } = {}): Promise<void> {
    this.#pick = null
    this.#ask(null)
    return this.#run(async (task) => {
      const contents = await this.#engine.inspect(source, task)
      this.#pick = { source, plan, contents }
      const { series } = contents
      // The loader says best why there is nothing.
      if (series.length === 0) await this.#engine.open(source, task)
      const named = seriesUid ?? plan?.scan.seriesUid
      const meant = theOne(contents, named) ?? this.#clearChoice(contents, plan)
      if (meant) await this.#load(meant, {}, task)
      else this.#ask({ kind: 'series', contents })
    })
  }

  /** Opens one series of the pick. */
  choose(id: string): Promise<void> {
    const series = this.#pick?.contents.series.find((s) => s.id === id)
    return series ? this.#run((task) => this.#load(series, {}, task)) : Promise.resolve()
  }

  /** Opens the series that is asked about with what a person confirmed. */
  confirm(answers: GeometryAnswers): Promise<void> {
    const series = this.question?.kind === 'geometry' ? this.question.series : null
    return series ? this.#run((task) => this.#load(series, { answers }, task)) : Promise.resolve()
  }

  /** Opens the series that is too large at half resolution or in part. */
  reduce(reduction: Reduction): Promise<void> {
    const series = this.question?.kind === 'size' ? this.question.series : null
    const answers = this.#answers === null ? {} : { answers: this.#answers }
    return series
      ? this.#run((task) => this.#load(series, { ...answers, ...reduction }, task))
      : Promise.resolve()
  }

  /** Asks again for the geometry of the scan on the page, although it was confirmed. */
  confirmAnew(): Promise<void> {
    const opened = this.#opened
    if (opened === null) return Promise.resolve()
    this.#again(opened)
    return this.#run((task) => this.#askGeometry(opened.series, '', task))
  }

  /** A plan was opened by itself: true when it answers what is asked now, or for the scan on the page otherwise. */
  takePlan(plan: Plan): boolean {
    const { question } = this
    if (question === null) return false
    const asked = question.kind === 'series' ? question.contents.series : [question.series]
    if (!asked.some((s) => s.seriesUid === plan.scan.seriesUid) || this.#pick === null) return false
    this.#pick = { ...this.#pick, plan }
    const series = question.kind === 'geometry' ? question.series : null
    if (series && confirmedIn(plan, series)) void this.#run((task) => this.#load(series, {}, task))
    return true
  }

  /** Opens the scan on the page again with the geometry that a plan of it holds. */
  reopen(plan: Plan): Promise<void> {
    const opened = this.#opened
    if (opened === null || confirmedIn(plan, opened.series) === null) return Promise.resolve()
    this.#again(opened, plan)
    return this.#run((task) => this.#load(opened.series, {}, task))
  }

  /** Work on the scan that is on the page, with progress and Cancel as while one is opened. */
  resume(work: (task: TaskOptions) => Promise<void>): Promise<void> {
    return this.#run(work)
  }

  /** The engine was lost with everything in it. */
  lose(error: EngineError): void {
    this.#running?.abort()
    this.#pick = null
    this.#opened = null
    this.question = null
    this.fault = error
    this.#host.changed()
  }

  /** Back: to the choice where there is one, else to the scan opened before. */
  leave(): void {
    this.#running?.abort()
    const contents = this.#pick?.contents
    const choice = this.question?.kind !== 'series' && contents && contents.series.length > 1
    this.#ask(choice ? { kind: 'series', contents } : null)
    if (!choice) this.#pick = null
    this.fault = null
    this.#host.changed()
  }

  cancel(): void {
    this.#running?.abort()
  }

  dismiss(): void {
    this.fault = null
    this.#host.changed()
  }

  #again({ source, series }: { source: ScanSource; series: SeriesSummary }, plan?: Plan): void {
    this.#pick = { source, plan, contents: { name: '', series: [series], report: [] } }
  }

  async #run(work: (task: TaskOptions) => Promise<void>): Promise<void> {
    this.#running?.abort()
    const controller = new AbortController()
    this.#running = controller
    this.fault = null
    this.progress = { stage: 'headers', done: 0, total: 0 }
    this.#host.changed()
    const onProgress = (progress: Progress): void => {
      if (this.#running !== controller) return
      this.progress = progress
      this.#host.changed()
    }
    try {
      await work({ signal: controller.signal, onProgress })
    } catch (error) {
      if (error instanceof EngineError) {
        if (this.#running === controller) this.fault = error
      } else if (!(error instanceof DOMException && error.name === 'AbortError')) throw error
    } finally {
      if (this.#running === controller) {
        this.#running = null
        this.progress = null
      }
      this.#host.changed()
    }
  }

  async #load(series: SeriesSummary, given: Answered, task: TaskOptions): Promise<void> {
    const pick = this.#pick
    if (pick === null) return
    const kept = given.answers ? null : this.#confirmedFor(series, pick.plan)
    const answers = given.answers ?? kept
    if (answers === null && series.questions.length > 0) return this.#askGeometry(series, '', task)
    const request = {
      ...given,
      ...(answers ? { answers } : {}),
      seriesUid: series.id,
      budgetBytes: this.budgetBytes,
    }
    const result = await this.#tryOpen(pick.source, series, request, task)
    if (result === null) return
    this.#opened = { source: pick.source, series: nameless(series) }
    this.#pick = null
    this.#ask(null)
    await this.#host.adopt(
      { ...result, plan: pick.plan, applied: kept !== null && series.questions.length > 0 },
      task,
    )
  }

  /** Null when there is something to ask instead. */
  async #tryOpen(
    source: ScanSource,
    series: SeriesSummary,
    request: OpenRequest,
    task: TaskOptions,
  ): Promise<OpenResult | null> {
    try {
      return await this.#engine.open(source, { ...request, ...task })
    } catch (error) {
      if (!(error instanceof EngineError)) throw error
      const found = (code: ReportEntry['code']) =>
        error.report.find((r) => r.level === 'block' && r.code === code)
      const contradiction = found('answers-contradict')
      if (contradiction) {
        await this.#askGeometry(series, contradiction.message, task)
        return null
      }
      const noRoom = found('too-large') || error.code === 'memory'
      const offer = error.offer ?? (noRoom ? lessThan(series) : null)
      if (offer && !request.half && !request.region) {
        this.#answers = request.answers ?? null
        this.#ask({ kind: 'size', series, offer })
        // That it did not fit is what the offer says; that there is no memory for what should fit is a fault.
        if (error.offer) return null
      } else if (this.question?.kind === 'geometry') this.#backToChoice()
      throw error
    }
  }

  async #askGeometry(series: SeriesSummary, problem: string, task: TaskOptions): Promise<void> {
    const source = this.#pick?.source
    if (!source) return
    const shown =
      this.question?.kind === 'geometry' && this.question.series === series ? this.question.preview : null
    const preview = shown ?? (await this.#engine.preview(source, series.id, task))
    task.signal?.throwIfAborted()
    this.#ask({ kind: 'geometry', series, preview, problem })
  }

  /** What is previewed was given up while the pixels were read. */
  #backToChoice(): void {
    const contents = this.#pick?.contents
    this.#ask(
      contents && contents.series.length > 0 && contents.name !== '' ? { kind: 'series', contents } : null,
    )
  }

  /** The one series that can only be meant; null when a person has to say. */
  #clearChoice({ series, report }: PickContents, plan: Plan | undefined): SeriesSummary | null {
    const [only, ...others] = series.filter(isWorthChoosing)
    if (!only || others.length > 0) return null
    if (!only.usable && this.#confirmedFor(only, plan) === null) return null
    if (knownPatients(series).length > 1 || report.some((r) => r.code === 'several-patients')) return null
    const larger = series.some((s) => s !== only && !s.localizer && voxels(s) > voxels(only))
    return larger ? null : only
  }

  #confirmedFor(series: SeriesSummary, plan: Plan | undefined) {
    const plans = [plan, ...this.#host.plansOf(series.seriesUid)]
    return plans.map((p) => confirmedIn(p, series)).find((c) => c !== null) ?? null
  }

  #ask(question: Question | null): void {
    if (this.question?.kind === 'geometry' && question?.kind !== 'geometry')
      void this.#engine.closePreview().catch(() => undefined)
    this.question = question
    this.#host.changed()
  }
}

/** The one series that goes by a name and can be opened; null when it is not there, or not alone. */
function theOne({ series }: PickContents, name: string | undefined): SeriesSummary | null {
  if (!name) return null
  const [only, ...others] = series.filter(
    (s) => isWorthChoosing(s) && (s.id === name || s.seriesUid === name),
  )
  return only && others.length === 0 ? only : null
}
