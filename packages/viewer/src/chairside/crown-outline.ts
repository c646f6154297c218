import {
  crownSection,
  fromRows,
  type Mat4,
  type Mesh,
  type Plan,
  tabulatedCrown,
  type Vec3,
} from '@alveometer/core'
import { sectionAxes } from '../drawing/view.js'

/** The crown as the section cuts it, closed lines in LPS mm; cut anew only for another plan. */
export class CrownOutline {
  #plan: Plan | null = null
  #loops: readonly (readonly Vec3[])[] = []

  of(plan: Plan): readonly (readonly Vec3[])[] {
    if (this.#plan === plan) return this.#loops
    const { crown, fixture } = plan
    const plane = { origin: fixture.platform, normal: sectionAxes(plan).normal }
    this.#loops =
      crown.kind === 'tabulated'
        ? crownSection(tabulatedCrown(crown.tooth), fromRows(crown.pose), plane).map((l) => l.points)
        : []
    this.#plan = plan
    return this.#loops
  }
}

/** A tabulated crown's mesh and where it stands; null for an imported one. */
export const placedCrown = ({ crown }: Plan): { mesh: Mesh; pose: Mat4 } | null =>
  crown.kind === 'tabulated' ? { mesh: tabulatedCrown(crown.tooth).mesh, pose: fromRows(crown.pose) } : null
