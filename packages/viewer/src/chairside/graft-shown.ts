import type { GraftAssessment, GraftMeshes } from '@alveometer/core'
import type { Workbench } from './workbench.js'

/** As fine as the graft is drawn while the hand moves, and when it rests, mm. */
const movingStepMm = 0.3
const restingStepMm = 0.12

/** The graft's surfaces for the 3D view: of the latest assessment, one at a time, coarser while the hand moves. */
export class GraftShown {
  meshes: GraftMeshes | null = null
  #graft: GraftAssessment | null = null
  #fine = false
  #running: { readonly stop: AbortController; readonly moving: boolean } | null = null

  /** Makes the surfaces anew if they are not the right ones; true when others are there now. */
  async follow(bench: Workbench): Promise<boolean> {
    const { session, measurement } = bench
    const graft = measurement.assessment?.graft ?? null
    const { moving } = session
    if (graft === null) {
      this.#stop()
      const gone = this.meshes !== null
      this.#graft = null
      this.meshes = null
      return gone
    }
    if (!measurement.current || (graft === this.#graft && (moving || this.#fine))) return false
    // While the hand moves the one that is under way is waited for; when it rests nothing but the fine one is wanted.
    if (this.#running !== null && moving) return false
    this.#stop()
    const running = { stop: new AbortController(), moving }
    this.#running = running
    this.#graft = graft
    this.#fine = !moving
    const request = { plan: session.plan, stepMm: moving ? movingStepMm : restingStepMm }
    try {
      const meshes = await bench.engine.graftMeshes(request, { signal: running.stop.signal })
      if (this.#running !== running) return false
      this.meshes = meshes
    } catch {
      if (this.#running !== running) return false
      // The view shows the plan without it.
      this.meshes = null
    }
    this.#running = null
    return true
  }

  #stop(): void {
    this.#running?.stop.abort()
    this.#running = null
  }
}
