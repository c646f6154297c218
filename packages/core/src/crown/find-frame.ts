import type { Mat4, Mesh, Vec3 } from '../space/index.js'
import { column, fromFrame, invert, length, normalize } from '../space/index.js'
import { capHoles, facingOfHole, type HoleLoop, holesOf } from './cap-base.js'
import { frameAt, transformedMesh } from './mesh-crown.js'
import { type Registered, registerCrown } from './registration.js'
import { tabulatedCrown } from './tabulated-crown.js'

/** One way in which a mesh may be a crown. */
export interface CrownFrame {
  /** From the crown frame to the mesh's coordinates; turns and moves only. */
  readonly frame: Mat4
  /** Root mean square distance between the mesh and the tabulated crown laid over it, both ways, in the mesh's unit. */
  readonly residualMm: number
}

export interface FoundFrame extends CrownFrame {
  /** False where another frame fits nearly as well, or none fits: show it and let a person choose. */
  readonly sure: boolean
  /** False where no frame fits: the mesh is nothing like the tooth. */
  readonly likeTooth: boolean
  /** Other frames, at least 30 degrees of turn away, the best first. */
  readonly alternatives: readonly CrownFrame[]
}

/**
 * A runner-up must fit worse by this share. Of 28 scanned crowns the one wrong frame lay within 3 % of the right one,
 * and of five right ones, molars and upper second premolars, the crown turned back to front lay within 4.5 %; the others
 * from 6 % on.
 */
export const CLEAR_FIT_SHARE = 0.05
/** The greatest misfit of something that looks like the tooth, share of its root-mean-square radius; scanned crowns: 0.07 to 0.09. */
const LIKE_TOOTH = 0.13
const MOST_ALTERNATIVES = 3

/**
 * Finds how a crown mesh lies in its own coordinates: the tabulated crown of the tooth is laid over it from all sides,
 * grown to its size, and the best fit gives the axes; the cervical margin gives the origin. Any orientation and size;
 * a mirrored crown is no crown of that tooth (mirror the mesh first). Open at the cervical end or closed.
 * @throws RangeError for an unknown tooth or a mesh without surface.
 */
export function findCrownFrame(mesh: Mesh, tooth: string): FoundFrame {
  const model = tabulatedCrown(tooth)
  if (mesh.triangles.length < 12 || !mesh.positions.every(Number.isFinite))
    throw new RangeError(
      `the crown mesh for tooth ${tooth} is empty or has broken numbers: export it again as STL`,
    )
  const holes = holesOf(mesh)
  const closed = holes.length === 0 ? mesh : capHoles(mesh, holes).mesh
  const cervical = cervicalFacing(mesh, holes)
  const fits = registerCrown(closed, model, cervical)
  const [best, ...others] = fits.slice(0, 1 + MOST_ALTERNATIVES).map((fit) => framed(closed, fit))
  const clear = fits.length < 2 || fits[1].misfit > (1 + CLEAR_FIT_SHARE) * fits[0].misfit
  const likeTooth = fits[0].misfit < LIKE_TOOTH
  return { ...best, sure: clear && likeTooth, likeTooth, alternatives: others }
}

/** Which way the widest hole faces; null without one that has an area. */
function cervicalFacing(mesh: Mesh, holes: readonly HoleLoop[]): Vec3 | null {
  const widest = holes
    .map((hole) => facingOfHole(mesh, hole))
    .reduce<Vec3>((best, facing) => (length(facing) > length(best) ? facing : best), [0, 0, 0])
  return length(widest) > 1e-9 ? normalize(widest) : null
}

function framed(mesh: Mesh, { pose, misfitMm }: Registered): CrownFrame {
  const axes = fromFrame(column(pose, 0), column(pose, 1), column(pose, 2), [0, 0, 0])
  return { frame: frameAt(transformedMesh(mesh, invert(axes)), axes), residualMm: misfitMm }
}
