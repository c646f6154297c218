import { antimereOf } from '../crown/index.js'
import { lpsRasSwapped, type Mesh, mirroredMesh, scaledMesh } from '../space/index.js'
import type { PlannedMeshCrown } from './plan.js'

/** Everything that is found on a crown is kept by its mesh, so the same choice on the same file gives the same mesh. */
const kept = new WeakMap<Mesh, { readonly key: string; readonly mesh: Mesh }>()

/**
 * The mesh of a planned crown in the crown's own coordinates, mm (see PlannedMeshCrown). `fileMesh`: as the file holds
 * it, in the file's unit and axes; it is not changed, and is itself the answer where nothing is to be changed.
 * @throws RangeError when `unitMm` is not a positive number, or the mesh is of a tooth that is neither the site's nor
 * its antimere.
 */
export function crownMeshOf(planned: PlannedMeshCrown, siteTooth: string, fileMesh: Mesh): Mesh {
  const { tooth = siteTooth, unitMm = 1, space = 'lps' } = planned
  if (!(unitMm > 0 && Number.isFinite(unitMm)))
    throw new RangeError(`plan: crown.unitMm must be a positive number of millimetres; got ${unitMm}`)
  const mirrored = tooth !== siteTooth
  if (mirrored && tooth !== antimereOf(siteTooth))
    throw new RangeError(
      `plan: crown.tooth is ${tooth}, but a crown for ${siteTooth} can only come from ${siteTooth} or ${antimereOf(siteTooth)}: choose another mesh`,
    )
  const key = [unitMm, space, mirrored].join(' ')
  const known = kept.get(fileMesh)
  if (known?.key === key) return known.mesh
  let mesh = fileMesh
  if (unitMm !== 1) mesh = scaledMesh(mesh, unitMm)
  if (space === 'ras') mesh = lpsRasSwapped(mesh)
  if (mirrored) mesh = mirroredMesh(mesh)
  kept.set(fileMesh, { key, mesh })
  return mesh
}
