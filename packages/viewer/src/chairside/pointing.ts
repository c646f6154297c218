import type { DrawnPlace } from '../events.js'

/** Something that a person is asked to point at in a drawing. */
export interface Goal {
  /** Which one it is, for the button that asked. */
  readonly key: string
  readonly words: string
  /** Takes the place; resolves to what to say instead where it will not do, or null. */
  take(place: DrawnPlace): Promise<string | null> | null
  asked?(): void
  /** The place was told, or is not asked for any more. */
  left?(): void
}

/** A place in a drawing that is asked for: the next click in one of them tells it and moves nothing. */
export class Pointing {
  /** What is asked for; null when nothing is. */
  goal: Goal | null = null
  #said: string | null = null
  readonly #changed: () => void

  /** @param changed called when anything to be shown is another. */
  constructor(changed: () => void) {
    this.#changed = changed
  }

  get wanted(): boolean {
    return this.goal !== null
  }

  /** What to tell meanwhile. */
  get words(): string {
    return this.#said ?? this.goal?.words ?? ''
  }

  /** Asks for a place; asked again for the same it is given up. */
  ask(goal: Goal): void {
    const again = goal.key === this.goal?.key
    this.goal?.left?.()
    this.goal = again ? null : goal
    if (!again) goal.asked?.()
    this.#said = null
    this.#changed()
  }

  leave(): void {
    this.goal?.left?.()
    this.goal = null
    this.#changed()
  }

  async take(place: DrawnPlace): Promise<void> {
    const { goal } = this
    if (goal === null) return
    const said = await goal.take(place)
    if (this.goal !== goal) return
    this.#said = said
    if (said === null) this.leave()
    else this.#changed()
  }
}
