import type { Assessment, ImagePlane, Plan } from '@alveometer/core'
import type { Engine } from '../engine/engine.js'
import type { FrameImages, ScanFacts } from '../engine/protocol.js'
import type { TaskOptions } from '../engine/requests.js'
import type { PlanSession } from '../session/plan-session.js'
import { Planes } from './planes.js'

/** What goes on with the numbers: nothing when they are as good as they will be. */
export type Doing = 'moving' | 'refining' | ''

/** What is measured: the plan as it is at any time, on the scan that is open. */
export interface OnTheTable {
  readonly session: PlanSession
  readonly facts: ScanFacts | null
  /** A file that the plan needs and that is not here; null or absent when there is none. */
  readonly missing?: string | null
}

/**
 * Pictures and numbers of the plan on the table: fast numbers at once, and refined ones for the same plan when the hand
 * rests. Refined numbers replace only fast ones of the very same plan.
 */
export class Measurement {
  /** The latest numbers; those of an earlier plan while `current` is false. */
  assessment: Assessment | null = null
  images: FrameImages = {}
  /** Why the present plan could not be measured. */
  trouble = ''
  /** Why the numbers of the present plan stay the fast ones. */
  unrefined = ''
  /** False before the scan is calibrated: nothing is measured on it. */
  prepared = false
  #plan: Plan | null = null
  #refining: { readonly plan: Plan; readonly stop: AbortController } | null = null
  readonly #planes = new Planes()
  readonly #engine: Engine
  readonly #table: OnTheTable
  readonly #changed: () => void

  /** @param changed called when anything to be shown is another. */
  constructor(engine: Engine, table: OnTheTable, changed: () => void) {
    this.#engine = engine
    this.#table = table
    this.#changed = changed
  }

  /** Whether the numbers are those of the plan on the table. */
  get current(): boolean {
    return this.#plan === this.#table.session.plan
  }

  get doing(): Doing {
    if (this.#table.session.moving) return 'moving'
    return this.#rough ? 'refining' : ''
  }

  /** Whether better numbers of the plan on the table are to be had than those that are there. */
  get #rough(): boolean {
    return this.current && this.assessment?.margin.mode === 'fast' && this.unrefined === ''
  }

  setPlane(name: string, plane: ImagePlane): void {
    this.#planes.set(name, plane)
    this.ask()
  }

  /** Calibrates the scan. */
  async prepare(task: TaskOptions): Promise<void> {
    await this.#engine.prepare(task)
    this.prepared = true
  }

  /** Another scan is on the table, or none: nothing is known of it. */
  clear(): void {
    this.prepared = false
    this.images = {}
    this.#forget('')
  }

  /** Asks for what is missing: pictures, fast numbers, refined ones. To be called whenever something is another. */
  ask(): void {
    const { facts, session } = this.#table
    if (facts === null) return
    const { plan } = session
    this.#stop(plan)
    // No number rather than that of another crown; the pictures are right whatever the crown.
    if (this.#lacking) this.#forgetNumbers('')
    this.#engine.frame({
      request: () => {
        const planes = this.#planes.take(facts.spacingMm)
        const measure = this.prepared && this.#plan !== plan && !this.#lacking
        return measure || Object.keys(planes).length > 0 ? { plan, planes, measure } : null
      },
      onImages: (images) => {
        this.images = { ...this.images, ...images }
        this.#changed()
      },
      onMeasured: (result) => {
        if (result !== null) this.#take(plan, result)
      },
      onFault: (error) => {
        if (this.#table.facts === null) return
        this.#forget(error.message)
        this.#changed()
      },
    })
    void this.#refine(plan)
  }

  #take(plan: Plan, assessment: Assessment): void {
    if (this.#lacking) return
    this.#stop(plan)
    this.assessment = assessment
    this.#plan = plan
    this.trouble = ''
    this.unrefined = ''
    this.#changed()
    void this.#refine(plan)
  }

  get #lacking(): boolean {
    return (this.#table.missing ?? null) !== null
  }

  /** No number rather than that of another plan, and every picture anew. */
  #forget(trouble: string): void {
    this.#planes.forget()
    this.#forgetNumbers(trouble)
  }

  #forgetNumbers(trouble: string): void {
    this.#stop(null)
    this.assessment = null
    this.#plan = null
    this.trouble = trouble
    this.unrefined = ''
  }

  /** Refines a plan that rests, unless that is done, under way, or was found to be impossible. */
  async #refine(plan: Plan): Promise<void> {
    const { session } = this.#table
    if (session.moving || session.plan !== plan || this.#refining !== null || !this.#rough) return
    const refining = { plan, stop: new AbortController() }
    this.#refining = refining
    try {
      const refined = await this.#engine.refine(plan, { signal: refining.stop.signal })
      if (this.#refining !== refining) return
      this.assessment = refined
    } catch (error) {
      if (this.#refining !== refining) return
      this.unrefined = error instanceof Error ? error.message : String(error)
    }
    this.#refining = null
    this.#changed()
  }

  /** Breaks off the refining of any plan but this one. */
  #stop(but: Plan | null): void {
    if (this.#refining === null || this.#refining.plan === but) return
    this.#refining.stop.abort()
    this.#refining = null
  }
}
