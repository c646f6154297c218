import {
  crownSection,
  dot,
  fromRows,
  type Mat4,
  type Mesh,
  type Plan,
  type PlannedCrown,
  tabulatedCrown,
  type Vec3,
} from '@alveometer/core'
import { sectionAxes } from '../drawing/view.js'

interface Cut {
  readonly crown: PlannedCrown
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

  of(plan: Plan): readonly (readonly Vec3[])[] {
    const { crown, fixture } = plan
    const { normal } = sectionAxes(plan)
    const levelMm = dot(fixture.platform, normal)
    const last = this.#cut
    if (
      last?.crown === crown &&
      Math.abs(last.levelMm - levelMm) < 1e-6 &&
      normal.every((v, n) => Math.abs(v - (last.normal[n] as number)) < 1e-9)
    )
      return last.loops
    const loops =
      crown.kind === 'tabulated'
        ? crownSection(tabulatedCrown(crown.tooth), fromRows(crown.pose), {
            origin: fixture.platform,
            normal,
          }).map((line) => line.points)
        : []
    this.#cut = { crown, normal, levelMm, loops }
    return loops
  }
}

/** A tabulated crown's mesh and where it stands; null for an imported one. */
export const placedCrown = ({ crown }: Plan): { mesh: Mesh; pose: Mat4 } | null =>
  crown.kind === 'tabulated' ? { mesh: tabulatedCrown(crown.tooth).mesh, pose: fromRows(crown.pose) } : null
