import type { Mat4, Mesh, Vec3 } from '../space/index.js'
import {
  cross,
  enclosedVolume,
  fromFrame,
  invert,
  normalize,
  perpendicularTo,
  transformPoint,
  vertex,
} from '../space/index.js'
import { capHoles, facingOfHole, type HoleLoop, holesOf, middleOfHole } from './cap-base.js'
import { cervicalCentre, cervicalMargin } from './cervical-margin.js'
import type { Crown } from './crown.js'
import { extent } from './height-profile.js'
import { type LandmarkMarks, meshLandmarks } from './mesh-landmarks.js'
import { regionsOf } from './mesh-regions.js'
import { checkTooth, plusYSide } from './tooth.js'

/**
 * The crown frame of an imported mesh, as the matrix from that frame to the mesh's own coordinates: axes from two
 * directions in those coordinates, origin in the middle of the cervical margin at the level of its most apical point.
 * A plan's pose for the mesh, times this matrix, is the pose of the crown.
 * @throws RangeError when the directions are parallel or have no length, or the mesh is empty or has broken numbers.
 */
export function crownFrameOf(mesh: Mesh, apical: Vec3, facial: Vec3): Mat4 {
  checkNumbers(mesh, 'the crown mesh')
  const z = normalize(apical)
  const x = perpendicularTo(facial, z)
  const axes = fromFrame(x, cross(z, x), z, [0, 0, 0])
  return frameAt(transformedMesh(mesh, invert(axes)), axes)
}

/** The crown frame with given axes, of a mesh that already stands in those axes. */
export function frameAt(local: Mesh, axes: Mat4): Mat4 {
  const holes = holesOf(local)
  const closed = holes.length === 0 ? local : capHoles(local, holes).mesh
  const centre = cervicalCentre(cervicalMargin(closed)) ?? middleOfEnd(local)
  const [x, y, z] = [0, 4, 8].map((at): Vec3 => [axes[at], axes[at + 1], axes[at + 2]])
  return fromFrame(x, y, z, transformPoint(axes, centre))
}

function middleOfEnd(mesh: Mesh): Vec3 {
  const middle = (axis: 0 | 1) => extent(mesh, axis).reduce((sum, v) => sum + v / 2, 0)
  return [middle(0), middle(1), extent(mesh, 2)[1]]
}

/**
 * A crown from a mesh given in the crown frame, mm (`crownToMesh`: or in other coordinates, with the matrix from the
 * crown frame to them). Edge line, occlusal table, cervical margin and contacts are read off the mesh; `marks`, in the
 * mesh's coordinates, take the place of what is found (see `meshLandmarks`).
 *
 * The mesh must be closed, or open at its cervical end alone: that is how the shell of a crown is exported. It is then
 * closed there by a fan and the crown says so (`baseCapped`).
 * @throws RangeError when the mesh is empty, has numbers that are not finite, a hole elsewhere or nothing like an edge,
 * or is wound inside out.
 */
export function crownFromMesh(
  mesh: Mesh,
  tooth: string,
  crownToMesh?: Mat4,
  marks: LandmarkMarks = {},
): Crown {
  checkTooth(tooth)
  checkNumbers(mesh, `the crown mesh for tooth ${tooth}`)
  const toCrown = crownToMesh ? invert(crownToMesh) : null
  const given = toCrown ? transformedMesh(mesh, toCrown) : mesh
  const holes = holesOf(given)
  holes.forEach((hole) => {
    checkCervical(given, hole, tooth)
  })
  const local = holes.length === 0 ? given : capHoles(given, holes).mesh
  if (!(enclosedVolume(local) > 0))
    throw new RangeError(
      `the crown mesh for tooth ${tooth} is wound inside out or encloses nothing: repair it and export it again`,
    )
  const margin = cervicalMargin(local)
  if (margin.length < 3)
    throw new RangeError(
      `the crown mesh for tooth ${tooth} has no cervical margin where the frame says: turn the crown's frame or choose another mesh`,
    )
  const own = toCrown ? marksThrough(toCrown, marks) : marks
  const { edge, occlusalTable, landmarks } = meshLandmarks(local, tooth, margin, own)
  const mesialSign = plusYSide(tooth) === 'mesial' ? 1 : -1
  return {
    tooth,
    mesh: local,
    regions: regionsOf(local, { mesialSign, margin, edge, table: occlusalTable }),
    lengthMm: -extent(local, 2)[0],
    edge,
    occlusalTable,
    cejCurve: margin,
    landmarks,
    ...(holes.length > 0 ? { baseCapped: true } : {}),
  }
}

function checkNumbers(mesh: Mesh, what: string): void {
  if (mesh.triangles.length < 12 || !mesh.positions.every(Number.isFinite))
    throw new RangeError(`${what} is empty or has broken numbers: export it again as STL`)
}

/** Holes lie in the apical share of the crown's height, all their edge included. Own choice: margins may lean by 45 degrees. */
const CERVICAL_SHARE = 0.65

function checkCervical(mesh: Mesh, hole: HoleLoop, tooth: string): void {
  const [coronal, apical] = extent(mesh, 2)
  const furthest = hole.reduce((least, i) => Math.min(least, vertex(mesh, i)[2]), apical)
  if (facingOfHole(mesh, hole)[2] > 0 && furthest >= apical - CERVICAL_SHARE * (apical - coronal)) return
  const fromEdge = middleOfHole(mesh, hole)[2] - coronal
  throw new RangeError(
    `the crown mesh for tooth ${tooth} is open: a hole of ${hole.length} edges ${fromEdge.toFixed(1)} mm from its incisal or occlusal end; only the cervical end may be open: close it and export it again`,
  )
}

const marksThrough = (toCrown: Mat4, marks: LandmarkMarks): LandmarkMarks => {
  const through = (p: Vec3 | undefined) => p && transformPoint(toCrown, p)
  return {
    edgeMesial: through(marks.edgeMesial),
    edgeDistal: through(marks.edgeDistal),
    mesialContact: through(marks.mesialContact),
    distalContact: through(marks.distalContact),
    zenith: through(marks.zenith),
  }
}

/** A mesh turned and moved; the triangles are shared. */
export function transformedMesh(mesh: Mesh, matrix: Mat4): Mesh {
  const positions = new Float64Array(mesh.positions.length)
  for (let i = 0; i < positions.length / 3; i++) positions.set(transformPoint(matrix, vertex(mesh, i)), 3 * i)
  return { positions, triangles: mesh.triangles }
}
