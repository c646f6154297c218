import type { Assessment } from '@alveometer/core'

/** Numbers that are replaced more often than this cannot be read, ms. */
const readableMs = 100
/** After so long without a newer assessment the old numbers fade, ms. */
const patienceMs = 300

/** Which assessment the tables show while the hand moves, and when what is shown has become too old to stand plainly. */
export class Lag {
  /** True when the assessment shown belongs to an earlier plan and has done so for a while. */
  late = false
  #latest: Assessment | null = null
  #shown: Assessment | null = null
  #shownAt = 0
  #fading = 0
  #waiting = 0
  readonly #changed: () => void

  /** @param changed called when `late` or the numbers shown have become others without a new assessment. */
  constructor(changed: () => void) {
    this.#changed = changed
  }

  /** To be called before everything is drawn. */
  follow(assessment: Assessment | null, measuring: boolean): void {
    const fresh = assessment !== this.#latest
    this.#latest = assessment
    if (!measuring || fresh) {
      clearTimeout(this.#fading)
      this.#fading = 0
      this.late = false
    }
    if (!measuring || this.late || this.#fading !== 0) return
    this.#fading = window.setTimeout(() => {
      this.#fading = 0
      this.late = true
      this.#changed()
    }, patienceMs)
  }

  /** The assessment for the tables: the latest one at rest, changed at most ten times a second in a drag. */
  numbers(moving: boolean): Assessment | null {
    clearTimeout(this.#waiting)
    const latest = this.#latest
    const wait = this.#shownAt + readableMs - performance.now()
    if (moving && latest !== null && this.#shown !== null && wait > 0) {
      if (latest !== this.#shown) this.#waiting = window.setTimeout(this.#changed, wait)
      return this.#shown
    }
    if (latest !== this.#shown) this.#shownAt = performance.now()
    this.#shown = latest
    return latest
  }
}
