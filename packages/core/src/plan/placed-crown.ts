import { type Crown, crownFrameOf, crownFromMesh, tabulatedCrown } from '../crown/index.js'
import {
  fromRows,
  invert,
  type Mat4,
  type Mesh,
  multiply,
  scale,
  transformDirection,
  type Vec3,
} from '../space/index.js'
import type { Plan } from './plan.js'

/** The crown in its own frame, and that frame's place in patient space. */
export interface PlacedCrown {
  readonly crown: Crown
  readonly pose: Mat4
}

/**
 * The crown of a plan where it stands. `mesh`: of a `mesh` crown, as its file holds it.
 * @throws RangeError when a mesh crown comes without its mesh.
 */
export function placedCrown({ crown, site }: Plan, mesh: Mesh | undefined): PlacedCrown {
  const pose = fromRows(crown.pose)
  if (crown.kind === 'tabulated') return { crown: tabulatedCrown(crown.tooth), pose }
  if (mesh === undefined) throw new RangeError(`plan: crown.file ${crown.file} was not read: give its mesh`)
  const toMesh = invert(pose)
  const apical = scale(transformDirection(toMesh, site.coronal), -1)
  const facial = transformDirection(toMesh, site.facial)
  return meshCrown(mesh, site.tooth, apical, facial, pose)
}

/** Landmarks of a mesh take a while to find and stay the same while it is dragged. */
const meshCrowns = new WeakMap<Mesh, { readonly key: string; readonly crown: Crown; readonly frame: Mat4 }>()

function meshCrown(mesh: Mesh, tooth: string, apical: Vec3, facial: Vec3, pose: Mat4): PlacedCrown {
  const key = [tooth, ...apical, ...facial].join(' ')
  const kept = meshCrowns.get(mesh)
  if (kept?.key === key) return { crown: kept.crown, pose: multiply(pose, kept.frame) }
  const frame = crownFrameOf(mesh, apical, facial)
  const crown = crownFromMesh(mesh, tooth, frame)
  meshCrowns.set(mesh, { key, crown, frame })
  return { crown, pose: multiply(pose, frame) }
}
