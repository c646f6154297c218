import { type Crown, crownSection, dot, type PlacedCrown, type Plan, type Vec3 } from '@alveometer/core'
import { sectionAxes } from '../drawing/view.js'

interface Cut {
  readonly crown: Crown
  readonly planned: Plan['crown']
  readonly normal: Vec3
  readonly levelMm: number
  readonly loops: readonly (readonly Vec3[])[]
}

/**
 * The crown as the section cuts it, closed lines in LPS mm. Most drags stay within the section's plane: the crown is cut
 * anew only when it or the plane is another.
 */
export class CrownOutline {
  #cut: Cut | null = null

  /** `placed`: the plan's crown; null while its mesh is not here, then there is no outline. */
  of(plan: Plan, placed: PlacedCrown | null): readonly (readonly Vec3[])[] {
    if (placed === null) return []
    const { crown: planned, fixture } = plan
    const { crown, pose } = placed
    const { normal } = sectionAxes(plan)
    const levelMm = dot(fixture.platform, normal)
    const last = this.#cut
    if (
      last?.planned === planned &&
      last.crown === crown &&
      Math.abs(last.levelMm - levelMm) < 1e-6 &&
      normal.every((v, n) => Math.abs(v - (last.normal[n] as number)) < 1e-9)
    )
      return last.loops
    const lines = crownSection(crown, pose, { origin: fixture.platform, normal })
    const loops = lines.map((line) => line.points)
    this.#cut = { crown, planned, normal, levelMm, loops }
    return loops
  }
}
