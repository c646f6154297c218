import type { GraftMeshes, Plan } from '@alveometer/core'
import type { Engine } from '../engine/engine.js'
import type { PlanSession } from '../session/plan-session.js'
import type { Measurement } from './measurement.js'

/** As fine as the graft is drawn while the hand moves, and when it rests, mm. */
const movingStepMm = 0.3
const restingStepMm = 0.12

/** What the graft is taken from. */
export interface GraftTable {
  readonly session: Pick<PlanSession, 'plan' | 'moving'>
  readonly measurement: Pick<Measurement, 'assessment' | 'current'>
  readonly engine: Pick<Engine, 'graftMeshes'>
}

/** The graft's surfaces for the 3D view: of the plan that is measured, one at a time, coarser while the hand moves. */
export class GraftShown {
  meshes: GraftMeshes | null = null
  /** What the surfaces are of, or are being made of. */
  #made: { readonly plan: Plan; readonly fine: boolean } | null = null
  #running: AbortController | null = null

  /** Makes the surfaces anew if they are not the right ones; true when others are there now. */
  async follow({ session, measurement, engine }: GraftTable): Promise<boolean> {
    const { plan, moving } = session
    if (plan.graft === undefined || (measurement.current && (measurement.assessment?.graft ?? null) === null))
      return this.#clear()
    // While the hand moves the one that is under way is waited for; when it rests only the fine one is wanted.
    const there = this.#made?.plan === plan && (moving || this.#made.fine)
    if (!measurement.current || there || (moving && this.#running !== null)) return false
    this.#stop()
    const running = new AbortController()
    this.#running = running
    this.#made = { plan, fine: !moving }
    const request = { plan, stepMm: moving ? movingStepMm : restingStepMm }
    // What cannot be made is not shown.
    const meshes = await engine.graftMeshes(request, { signal: running.signal }).catch(() => null)
    if (this.#running !== running) return false
    this.#running = null
    this.meshes = meshes
    return true
  }

  #clear(): boolean {
    this.#stop()
    const gone = this.meshes !== null
    this.#made = null
    this.meshes = null
    return gone
  }

  #stop(): void {
    this.#running?.abort()
    this.#running = null
  }
}
