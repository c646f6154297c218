import type { Engine } from '../engine/engine.js'
import type { DrawnPlace } from '../events.js'
import type { GreyPick } from '../grey-calibration/index.js'

/** A disc so wide averages over noise and stays within a small insert, mm. */
const discMm = 1

/** A grey value that is asked for: pointed at in a drawing, read from the voxels there. */
export class Pointing {
  /** True while a place is asked for. */
  wanted = false
  /** The last value read. */
  pick: GreyPick | null = null
  /** True when there is no data where was pointed at last. */
  missed = false
  readonly #engine: Engine
  readonly #changed: () => void

  /** @param changed called when anything to be shown is another. */
  constructor(engine: Engine, changed: () => void) {
    this.#engine = engine
    this.#changed = changed
  }

  /** What to tell meanwhile. */
  get words(): string {
    return this.missed ? 'No data there: point elsewhere' : 'Point at the grey value (1\u202fmm disc)'
  }

  ask(): void {
    this.wanted = true
    this.missed = false
    this.#changed()
  }

  leave(): void {
    this.wanted = false
    this.#changed()
  }

  async take(place: DrawnPlace): Promise<void> {
    const read = await this.#engine.probe({ ...place, diameterMm: discMm })
    if (!this.wanted) return
    this.missed = read === null
    if (read !== null) {
      this.pick = { grey: read.mean, greySd: read.sd }
      this.wanted = false
    }
    this.#changed()
  }
}
