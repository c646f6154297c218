import { type Crown, crownFrameOf, crownFromMesh, tabulatedCrown } from '../crown/index.js'
import {
  fromRows,
  invert,
  type Mat4,
  type Mesh,
  multiply,
  scale,
  transformDirection,
} from '../space/index.js'
import { crownMeshOf } from './crown-mesh.js'
import type { Plan, PlannedMeshCrown } from './plan.js'

/** The crown in its own frame, and that frame's place in patient space. */
export interface PlacedCrown {
  readonly crown: Crown
  readonly pose: Mat4
}

/**
 * The crown of a plan where it stands. `mesh`: of a `mesh` crown, as its file holds it, in the file's unit and axes.
 * Size, unit, axes, mirroring, frame and marks are those of the plan; a mesh without a frame gets its axes from the
 * site's directions. The same crown comes back as long as mesh, frame and marks are the same, so a drag costs nothing.
 * @throws RangeError when a mesh crown comes without its mesh, or the mesh is none of a crown (see `crownFromMesh`).
 */
export function placedCrown(plan: Pick<Plan, 'crown' | 'site'>, mesh?: Mesh): PlacedCrown {
  const { crown, site } = plan
  const pose = fromRows(crown.pose)
  if (crown.kind === 'tabulated') return { crown: tabulatedCrown(crown.tooth, crown.size), pose }
  if (mesh === undefined) throw new RangeError(`plan: crown.file ${crown.file} was not read: give its mesh`)
  const own = crownMeshOf(crown, site.tooth, mesh)
  const found = crown.frame
    ? keptCrown(own, site.tooth, crown, [...crown.frame], () => fromRows(crown.frame ?? []))
    : crownBySite(own, site, crown, pose)
  return { crown: found.crown, pose: multiply(pose, found.frame) }
}

/** Axes from the site's directions as they run in the mesh's own coordinates. */
function crownBySite(own: Mesh, site: Plan['site'], planned: PlannedMeshCrown, pose: Mat4): Found {
  const toMesh = invert(pose)
  const apical = scale(transformDirection(toMesh, site.coronal), -1)
  const facial = transformDirection(toMesh, site.facial)
  return keptCrown(own, site.tooth, planned, [...apical, ...facial], () => crownFrameOf(own, apical, facial))
}

interface Found {
  readonly key: string
  readonly crown: Crown
  readonly frame: Mat4
}

/** Landmarks of a mesh take a while to find and stay the same while it is dragged. The newest first. */
const meshCrowns = new WeakMap<Mesh, readonly Found[]>()

/** So many crowns are kept of one mesh: those before and after a correction, for undoing it. */
const KEPT = 4

function keptCrown(
  own: Mesh,
  tooth: string,
  { marks = {} }: PlannedMeshCrown,
  by: readonly number[],
  frameOf: () => Mat4,
): Found {
  const { edgeMesial, edgeDistal, mesialContact, distalContact, zenith } = marks
  const set = { edgeMesial, edgeDistal, mesialContact, distalContact, zenith }
  // The last digits of directions tremble while a crown is moved.
  const key = JSON.stringify([tooth, by.map((v) => Math.round(v * 1e9)), set])
  const kept = meshCrowns.get(own) ?? []
  const known = kept.find((found) => found.key === key)
  if (known) return known
  const frame = frameOf()
  const found = { key, frame, crown: crownFromMesh(own, tooth, frame, set) }
  meshCrowns.set(own, [found, ...kept].slice(0, KEPT))
  return found
}
