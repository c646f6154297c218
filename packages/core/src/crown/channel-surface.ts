import type { Mesh, Vec3 } from '../space/index.js'
import { corners, cross, length, subtract } from '../space/index.js'
import { buildMeshTree, lastCrossing, type MeshTree, meshTree } from '../space/mesh-tree.js'
import { neighboursOf } from './channel-neighbours.js'
import type { WallSide } from './channel-result.js'
import type { Crown, CrownRegion } from './crown.js'
import { plusYSide } from './tooth.js'

/** A crown made ready for channels through it. Made once per crown and shared: not to be written to. */
export interface ChannelSurface {
  readonly crown: Crown
  readonly tree: MeshTree
  /** One per triangle: its region, see `facesOf`. */
  readonly faces: readonly CrownRegion[]
  /** The triangles of each face, without those that have no area: the slope of these tells no face. */
  readonly byFace: Readonly<Record<WallSide, MeshTree>>
  /** The triangles beyond a triangle's three edges, -1 where there is none. */
  readonly neighbours: Int32Array
  /** What `toEdge` is measured to: the incisal-edge line or the outline of the occlusal table. */
  readonly edge: { readonly points: readonly Vec3[]; readonly closed: boolean }
}

export const WALL_SIDES: readonly WallSide[] = ['facial', 'oral', 'mesial', 'distal', 'edge']

const made = new WeakMap<Crown, ChannelSurface>()

export function channelSurface(crown: Crown): ChannelSurface {
  const known = made.get(crown)
  if (known) return known
  const tree = meshTree(crown.mesh)
  const faces = facesOf(crown)
  const numbers = Uint32Array.from(faces, (_, t) => t)
  const treeOf = (side: WallSide) =>
    buildMeshTree(
      crown.mesh,
      numbers.filter((t) => faces[t] === side && hasArea(crown.mesh, t)),
    )
  const surface: ChannelSurface = {
    ...{ crown, tree, faces, neighbours: neighboursOf(crown.mesh) },
    byFace: {
      facial: treeOf('facial'),
      oral: treeOf('oral'),
      mesial: treeOf('mesial'),
      distal: treeOf('distal'),
      edge: treeOf('edge'),
    },
    edge: edgeOf(crown, tree),
  }
  made.set(crown, surface)
  return surface
}

const hasArea = (mesh: Mesh, t: number): boolean => {
  const [a, b, c] = corners(mesh, t)
  return length(cross(subtract(b, a), subtract(c, a))) > 0
}

/** The mesial and the distal face lie in the outer thirds of the crown's width. Own choice. */
const PROXIMAL_SHARE = 1 / 3

/**
 * The regions as the walls of a channel need them. Where a mesh's regions are told by the slope of its triangles, the
 * inner flanks of the marginal ridges seem mesial and distal: a channel that leaves between them would seem to break
 * through these faces. So mesial and distal faces lie in the outer thirds of the width, and the rest of what looks
 * mesially or distally belongs to the facial or the oral face.
 */
function facesOf({ mesh, regions, tooth, landmarks }: Crown): readonly CrownRegion[] {
  const mesialSign = plusYSide(tooth) === 'mesial' ? 1 : -1
  const mesialMm = PROXIMAL_SHARE * landmarks.mesialContact[1] * mesialSign
  const distalMm = PROXIMAL_SHARE * landmarks.distalContact[1] * mesialSign
  return regions.map((region, t) => {
    if (region !== 'mesial' && region !== 'distal') return region
    const [a, b, c] = corners(mesh, t)
    const towardsMesial = ((a[1] + b[1] + c[1]) / 3) * mesialSign
    if (region === 'mesial' ? towardsMesial >= mesialMm : towardsMesial <= distalMm) return region
    return cross(subtract(b, a), subtract(c, a))[0] > 0 ? 'facial' : 'oral'
  })
}

/** The incisal-edge line, or the outline of the occlusal table lifted on to the crown where there is crown above it. */
function edgeOf({ edge, occlusalTable, landmarks }: Crown, tree: MeshTree): ChannelSurface['edge'] {
  const below = landmarks.zenith[2] + 100
  const outline = (occlusalTable ?? []).flatMap(([x, y]): Vec3[] => {
    const hit = lastCrossing(tree, [x, y, below], [0, 0, -1])
    return hit ? [[x, y, below - hit.distance]] : []
  })
  return outline.length > 2 ? { points: outline, closed: true } : { points: edge, closed: false }
}
