import {
  adoptMesh,
  checkCrownSize,
  type Mesh,
  type Plan,
  type PlannedCrown,
  type PlannedMeshCrown,
  placedCrown,
  sizeOf,
} from '@alveometer/core'
import type { CrownChoice } from '../crown-form/crown-choice.js'
import { tabulatedThere } from '../session/crown-moves.js'
import type { CrownFile } from './crown-meshes.js'

/** A mesh file that is to become the crown of a plan, or to give it its size. */
export interface AdoptRequest {
  readonly plan: Plan
  readonly of: CrownFile
  /** As the file holds it. */
  readonly mesh: Mesh
  readonly choice: CrownChoice
}

/** The crown that comes of a mesh file. */
export interface AdoptedCrown {
  readonly crown: PlannedCrown
  /** False where the mesh may lie otherwise in its file: the other ways follow, the likeliest first. */
  readonly sure: boolean
  readonly others: readonly PlannedMeshCrown[]
}

/**
 * The crown of a plan from a mesh file. It takes a second or so to find how the mesh lies.
 * @throws RangeError when the mesh is none of a crown, or has no plausible size.
 */
export function adoptedCrown({ plan, of, mesh, choice }: AdoptRequest): AdoptedCrown {
  const { use, unitMm, where, space } = choice
  const present = tabulatedThere(plan)
  if (present === null)
    throw new RangeError(
      'the planned crown does not say how it lies: choose the tooth again to start with a crown of the table',
    )
  const { crown, sure, alternatives } = adoptMesh({ ...plan, crown: present }, of.file, mesh, {
    unitMm,
    where: use === 'size' ? 'site' : where,
    space: where === 'file' ? space : 'lps',
    mirrored: use === 'mirror',
  })
  // A mesh that is no crown is found out here, not when it is measured.
  const placed = placedCrown({ ...plan, crown }, mesh)
  if (use === 'size') {
    const size = checkCrownSize(plan.site.tooth, sizeOf(placed.crown))
    return { crown: { ...present, size }, sure: true, others: [] }
  }
  const named = (own: PlannedMeshCrown): PlannedMeshCrown => ({ ...own, ...of })
  return { crown: named(crown), sure, others: alternatives.map(named) }
}
