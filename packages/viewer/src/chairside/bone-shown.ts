import { distance, type Mesh, type Vec3 } from '@alveometer/core'
import type { ScanFacts } from '../engine/protocol.js'
import type { Workbench } from './workbench.js'

/** So far may the fixture go before the bone shown round it is made anew, mm. */
const reachMm = 8

/** The bone surface for the 3D view: made when it is asked for, anew for another scan or another place in it. */
export class BoneShown {
  mesh: Mesh | null = null
  #facts: ScanFacts | null = null
  #centre: Vec3 = [0, 0, 0]

  /** Makes the surface if it is not the right one; true when another one is there now. */
  async follow(bench: Workbench): Promise<boolean> {
    const { facts, session } = bench
    const { platform } = session.plan.fixture
    if (facts === null || bench.state !== 'ready' || session.moving) return false
    if (this.#facts === facts && distance(platform, this.#centre) < reachMm) return false
    this.#facts = facts
    this.#centre = platform
    try {
      this.mesh = await bench.engine.surface(session.plan)
    } catch {
      // No bone there, or the fixture lies outside the scan: the view shows the plan alone.
      this.mesh = null
    }
    return true
  }
}
