import type { Mesh, Vec3 } from '../space/index.js'
import { corners, cross, length, subtract } from '../space/index.js'
import { buildMeshTree, lastCrossing, type MeshTree, meshTree } from '../space/mesh-tree.js'
import { inside } from './access-exit.js'
import { neighboursOf } from './channel-neighbours.js'
import type { WallSide } from './channel-result.js'
import type { Crown, CrownRegion } from './crown.js'
import { edgeAt } from './crown.js'
import { isPosterior, plusYSide } from './tooth.js'

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

/** Further apical of the incisal edge than this nothing of the crown is edge, mm. Own choice. */
const EDGE_DEPTH_MM = 1.5
/** The mesial and the distal face lie in the outer thirds of the crown's width. Own choice. */
const PROXIMAL_SHARE = 1 / 3

/**
 * The regions as the walls of a channel need them. Regions that were told by the slope of a mesh alone have islands:
 * the flanks of a cusp and the floor of a fossa would be faces of their own, and a channel that leaves between them
 * would seem to break through them. So the occlusal surface is all of what faces coronally inside the occlusal table,
 * the incisal edge ends 1.5 mm below its line, and mesial and distal faces lie in the outer thirds of the width.
 */
function facesOf(crown: Crown): readonly CrownRegion[] {
  const { mesh, regions } = crown
  const mesialSign = plusYSide(crown.tooth) === 'mesial' ? 1 : -1
  const reach = [
    crown.landmarks.mesialContact[1] * mesialSign,
    -crown.landmarks.distalContact[1] * mesialSign,
  ]
  return regions.map((region, t) => {
    if (region === 'base') return region
    const [a, b, c] = corners(mesh, t)
    const normal = cross(subtract(b, a), subtract(c, a))
    const [x, y, z] = [0, 1, 2].map((k) => (a[k] + b[k] + c[k]) / 3)
    const side = (k: number): CrownRegion => (k > 0 ? 'facial' : 'oral')
    if (crown.occlusalTable && normal[2] < 0 && inside(crown.occlusalTable, x, y)) return 'edge'
    if (region === 'edge' && !isPosterior(crown.tooth)) {
      const edge = edgeAt(crown, y)
      return z - edge[2] > EDGE_DEPTH_MM ? side(x - edge[0]) : region
    }
    const outward = y * mesialSign
    if (region === 'mesial' && outward < PROXIMAL_SHARE * reach[0]) return side(normal[0])
    if (region === 'distal' && -outward < PROXIMAL_SHARE * reach[1]) return side(normal[0])
    return region
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
