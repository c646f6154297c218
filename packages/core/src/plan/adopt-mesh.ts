import { antimereOf, CLEAR_FIT_SHARE, type Crown, type CrownFrame, findCrownFrame } from '../crown/index.js'
import {
  angleDeg,
  column,
  distance,
  fromFrame,
  invert,
  type Mat4,
  type Mesh,
  multiply,
  scale,
  subtract,
  toRows,
  type Vec3,
} from '../space/index.js'
import { crownMeshOf } from './crown-mesh.js'
import { type PlacedCrown, placedCrown } from './placed-crown.js'
import type { Plan, PlannedMeshCrown } from './plan.js'

/** Where an adopted mesh is to stand: on the planned crown's place, or where its file's coordinates say. */
export type MeshPlace = 'site' | 'file'

/** How a mesh file is to be taken. */
export interface AdoptOptions extends Pick<PlannedMeshCrown, 'unitMm' | 'space'> {
  /** The mesh is of the tooth on the other side of the midline. */
  readonly mirrored?: boolean
  readonly where: MeshPlace
  /** The mesh of the plan's present crown, as its file holds it, when that is a mesh crown. */
  readonly presentMesh?: Mesh
}

/** A mesh made the crown of a plan, and how sure its axes are. */
export interface AdoptedMesh {
  readonly crown: PlannedMeshCrown
  /** False where another frame fits nearly as well: show it and let a person choose. */
  readonly sure: boolean
  readonly residualMm: number
  /** The same crown with other frames, the likeliest first. */
  readonly alternatives: readonly PlannedMeshCrown[]
}

/** Coordinates of a file that are the scan's put a crown's axes this close to the site's, degrees. Own choice. */
const SITE_DEG = 60

/**
 * The planned crown that a mesh file makes for a plan. Its frame is found from its shape; on the `site` the middle
 * of its edge and its axes come to stand where those of the present crown are. With the `file`'s coordinates it is not moved,
 * and of frames that fit nearly alike the one that agrees with the site's directions is taken; sure it is when the frame
 * agrees with them.
 * @throws RangeError when the mesh is none of a crown, the unit is not positive, or the present crown is a mesh that was
 * not given.
 */
export function adoptMesh(plan: Plan, file: string, fileMesh: Mesh, options: AdoptOptions): AdoptedMesh {
  const { unitMm, space, mirrored = false, where, presentMesh } = options
  const { tooth } = plan.site
  const planned = {
    kind: 'mesh' as const,
    file,
    ...(mirrored ? { tooth: antimereOf(tooth) } : {}),
    ...(unitMm === undefined || unitMm === 1 ? {} : { unitMm }),
    ...(space === undefined || space === 'lps' ? {} : { space }),
  }
  const own = crownMeshOf({ ...planned, pose: [] }, tooth, fileMesh)
  const { frame, residualMm, sure, likeTooth, alternatives } = findCrownFrame(own, tooth)
  const shapes: readonly CrownFrame[] = [{ frame, residualMm }, ...alternatives]
  const frames = where === 'file' ? byDirections(shapes, plan.site) : shapes
  const present = where === 'site' ? placedCrown(plan, presentMesh) : null
  const stood = ({ frame }: CrownFrame): PlannedMeshCrown => {
    const unmoved = { ...planned, pose: toRows(IDENTITY), frame: toRows(frame) }
    if (present === null) return unmoved
    const { crown } = placedCrown({ site: plan.site, crown: unmoved }, fileMesh)
    return { ...unmoved, pose: toRows(multiply(edgeOn(present, crown), invert(frame))) }
  }
  const [first, ...others] = frames
  const crowns = [stood(first), ...others.flatMap((it) => whereUsable(() => stood(it)))]
  return {
    crown: crowns[0],
    // Coordinates of the scan settle what the shape leaves open.
    sure: where === 'file' ? likeTooth && agrees(frames[0], plan.site) : sure,
    residualMm: frames[0].residualMm,
    alternatives: crowns.slice(1),
  }
}

/**
 * The pose that turns a crown as the present one is and puts its edge where that one's is: a crown cut at the gum is
 * shorter than the tooth, and what a face asks for is the place of the edge.
 */
function edgeOn(present: PlacedCrown, crown: Crown): Mat4 {
  const shift = subtract(present.crown.landmarks.edgeCentre, crown.landmarks.edgeCentre)
  return multiply(present.pose, fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], shift))
}

/** None where the mesh is no crown that way up: only the first frame's refusal is worth telling. */
function whereUsable<T>(make: () => T): T[] {
  try {
    return [make()]
  } catch (error) {
    if (error instanceof RangeError) return []
    throw error
  }
}

const IDENTITY: Mat4 = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])

/** Whether both axes of a frame run along the site's directions. */
const agrees = ({ frame }: CrownFrame, site: Plan['site']): boolean =>
  angleDeg(column(frame, 2), scale(site.coronal, -1)) < SITE_DEG &&
  angleDeg(column(frame, 0), site.facial) < SITE_DEG

/** Puts first, of the frames that fit nearly as well as the best, one that agrees with the site's directions. */
function byDirections(frames: readonly CrownFrame[], site: Plan['site']): readonly CrownFrame[] {
  const most = (1 + CLEAR_FIT_SHARE) * frames[0].residualMm
  const settled = frames.find((it) => it.residualMm <= most && agrees(it, site))
  return settled ? [settled, ...frames.filter((it) => it !== settled)] : frames
}

/** A mesh whose middle lies this close to the site was made in the scan's coordinates, mm. Own choice: half an arch. */
const NEAR_SITE_MM = 30

/** Which place of a mesh is the likelier: the file's when its middle lies within 30 mm of the platform. */
export function likelierPlace(
  plan: Plan,
  fileMesh: Mesh,
  options: Pick<AdoptOptions, 'unitMm' | 'space' | 'mirrored'> = {},
): MeshPlace {
  const { unitMm, space, mirrored = false } = options
  const { tooth } = plan.site
  const own = crownMeshOf(
    {
      ...{ kind: 'mesh' as const, file: '', pose: [], tooth: mirrored ? antimereOf(tooth) : tooth },
      ...{ unitMm, space },
    },
    tooth,
    fileMesh,
  )
  return distance(middleOfBox(own), plan.fixture.platform) <= NEAR_SITE_MM ? 'file' : 'site'
}

function middleOfBox({ positions }: Mesh): Vec3 {
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  positions.forEach((v, i) => {
    low[i % 3] = Math.min(low[i % 3], v)
    high[i % 3] = Math.max(high[i % 3], v)
  })
  return [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2]
}
