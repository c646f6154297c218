import type { Plan } from '@alveometer/core'

/** Fired by a session whenever its plan is another one. `moving`: in the middle of a drag. */
export type PlanChangeEvent = CustomEvent<{ readonly plan: Plan; readonly moving: boolean }>

const depthOfUndo = 500

/**
 * One plan being worked on, with undo and redo. The plan itself is immutable: every change is another plan.
 * `begin`, any number of `update`s and `commit` make one step; an `update` outside makes a step of its own.
 *
 * @fires plan-change PlanChangeEvent, after every change.
 */
export class PlanSession extends EventTarget {
  #plan: Plan
  #before: Plan | null = null
  #undo: Plan[] = []
  #redo: Plan[] = []

  constructor(plan: Plan) {
    super()
    this.#plan = plan
  }

  get plan(): Plan {
    return this.#plan
  }

  get moving(): boolean {
    return this.#before !== null
  }

  get canUndo(): boolean {
    return this.#undo.length > 0
  }

  get canRedo(): boolean {
    return this.#redo.length > 0
  }

  /** Starts anew with another plan: nothing to undo. */
  reset(plan: Plan): void {
    this.#before = null
    this.#undo = []
    this.#redo = []
    this.#show(plan)
  }

  /** Opens a step: what follows until `commit` is undone as one. */
  begin(): void {
    this.#before ??= this.#plan
  }

  update(plan: Plan): void {
    if (plan === this.#plan) return
    if (!this.moving) this.#remember(this.#plan)
    this.#show(plan)
  }

  /** Closes the step. A step that changed nothing leaves no trace. */
  commit(): void {
    const before = this.#before
    if (before === null) return
    this.#before = null
    if (before !== this.#plan) this.#remember(before)
    this.#show(this.#plan)
  }

  /** Takes the open step back, as Escape does in the middle of a drag. */
  cancel(): void {
    const before = this.#before
    if (before === null) return
    this.#before = null
    this.#show(before)
  }

  undo(): void {
    this.cancel()
    const plan = this.#undo.pop()
    if (plan === undefined) return
    this.#redo.push(this.#plan)
    this.#show(plan)
  }

  redo(): void {
    this.cancel()
    const plan = this.#redo.pop()
    if (plan === undefined) return
    this.#undo.push(this.#plan)
    this.#show(plan)
  }

  #remember(plan: Plan): void {
    this.#undo.push(plan)
    if (this.#undo.length > depthOfUndo) this.#undo.shift()
    this.#redo = []
  }

  #show(plan: Plan): void {
    this.#plan = plan
    this.dispatchEvent(new CustomEvent('plan-change', { detail: { plan, moving: this.moving } }))
  }
}
