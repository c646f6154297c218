import type { Mat4, Mesh, Vec3 } from '../space/index.js'
import {
  corners,
  cross,
  dot,
  enclosedVolume,
  fromFrame,
  invert,
  length,
  normalize,
  perpendicularTo,
  scale,
  sliceMesh,
  subtract,
  transformPoint,
  vertex,
} from '../space/index.js'
import type { Crown, CrownRegion } from './crown.js'
import { landmarksOf } from './crown.js'
import { checkTooth, isPosterior, plusYSide } from './tooth.js'

/**
 * The crown frame of an imported mesh, as the matrix from that frame to the mesh's own coordinates: axes from two
 * directions in those coordinates, origin in the middle of the mesh's most apical tenth. A plan's pose for the mesh,
 * times this matrix, is the pose of the crown.
 * @throws RangeError when the directions are parallel or have no length.
 */
export function crownFrameOf(mesh: Mesh, apical: Vec3, facial: Vec3): Mat4 {
  const z = normalize(apical)
  const x = perpendicularTo(facial, z)
  const y = cross(z, x)
  const toFrame = fromFrame(x, y, z, [0, 0, 0])
  const local = transformed(mesh, invert(toFrame))
  const all = vertices(local)
  const [bottom, top] = range(all.map((p) => p[2]))
  const neck = all.filter((p) => p[2] >= top - 0.1 * (top - bottom))
  const middle = (axis: 0 | 1) => {
    const [low, high] = range(neck.map((p) => p[axis]))
    return (low + high) / 2
  }
  return fromFrame(x, y, z, transformPoint(toFrame, [middle(0), middle(1), top]))
}

/** Sections across the edge line, and the share of the crown's width they cover. */
const STATIONS = 25
const COVERED = 0.9
/** Points within this of the highest one of a section belong to the edge, mm: about a scan's noise. */
const EDGE_BAND_MM = 0.05

/**
 * A crown from a closed mesh given in the crown frame, mm (`crownToMesh`: or in other coordinates, with the matrix
 * from the crown frame to them). The edge line is read off the mesh: in sections across the mesiodistal direction the
 * middle of the highest points (anterior) or the lowest point between the two cusp crests (posterior).
 * @throws RangeError when the mesh is empty, has numbers that are not finite, or is wound inside out.
 */
export function crownFromMesh(mesh: Mesh, tooth: string, crownToMesh?: Mat4): Crown {
  checkTooth(tooth)
  if (mesh.triangles.length < 12 || !mesh.positions.every(Number.isFinite))
    throw new RangeError(
      `the crown mesh for tooth ${tooth} is empty or has broken numbers: export it again as STL`,
    )
  const local = crownToMesh ? transformed(mesh, invert(crownToMesh)) : mesh
  if (!(enclosedVolume(local) > 0))
    throw new RangeError(
      `the crown mesh for tooth ${tooth} is open or wound inside out: repair it and export it again`,
    )
  const all = vertices(local)
  const mesialSign = plusYSide(tooth) === 'mesial' ? 1 : -1
  const [low, high] = range(all.map((p) => p[1]))
  const [coronalZ, base] = range(all.map((p) => p[2]))
  const sections = Array.from({ length: STATIONS }, (_, i) => {
    const share = 0.5 + mesialSign * COVERED * (0.5 - i / (STATIONS - 1))
    const y = low + share * (high - low)
    return sliceMesh(local, [0, y, 0], [0, 1, 0]).flatMap((line) => line.points)
  }).filter((points) => points.length > 0)
  const posterior = isPosterior(tooth)
  const crests = sections.map(crestsOf)
  const edge = posterior ? sections.map(grooveOf) : withoutCorners(sections.map(ridgeOf))
  const cejCurve = neckOf(local, base)
  return {
    tooth,
    mesh: local,
    regions: Array.from({ length: local.triangles.length / 3 }, (_, t) =>
      regionOf(local, t, mesialSign, base),
    ),
    lengthMm: -coronalZ,
    edge,
    occlusalTable: posterior ? outline(crests) : null,
    cejCurve,
    landmarks: landmarksOf(local, edge, cejCurve, mesialSign),
  }
}

/** Least and greatest of any number of values: an imported mesh has too many for an argument list. */
const range = (values: readonly number[]): [number, number] =>
  values.reduce<[number, number]>(
    ([low, high], v) => [Math.min(low, v), Math.max(high, v)],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  )

const vertices = (mesh: Mesh): Vec3[] =>
  Array.from({ length: mesh.positions.length / 3 }, (_, i) => vertex(mesh, i))

const transformed = (mesh: Mesh, matrix: Mat4): Mesh => ({
  positions: Float64Array.from(vertices(mesh).flatMap((p) => transformPoint(matrix, p))),
  triangles: mesh.triangles,
})

/** The middle of the highest points of a section: the edge may be flat. */
function ridgeOf(section: readonly Vec3[]): Vec3 {
  const [top] = range(section.map((p) => p[2]))
  const [oral, facial] = range(section.filter((p) => p[2] <= top + EDGE_BAND_MM).map((p) => p[0]))
  return [(oral + facial) / 2, section[0][1], top]
}

/** The part round the middle that runs less steeply than 45 degrees: beyond are the rounded corners, not the edge. */
function withoutCorners(line: readonly Vec3[]): readonly Vec3[] {
  const steep = (i: number) => Math.abs(line[i][2] - line[i - 1][2]) > Math.abs(line[i][1] - line[i - 1][1])
  let first = Math.floor(line.length / 2)
  let last = first
  while (first > 0 && !steep(first)) first--
  while (last + 1 < line.length && !steep(last + 1)) last++
  return last > first ? line.slice(first, last + 1) : line
}

/** The highest point of the facial and of the oral half of a section. */
function crestsOf(section: readonly Vec3[]): { facial: Vec3; oral: Vec3 } {
  const [least, most] = range(section.map((p) => p[0]))
  const middle = (least + most) / 2
  const highest = (half: readonly Vec3[], outward: number) =>
    half.reduce((a, b) => (b[2] < a[2] || (b[2] === a[2] && outward * b[0] > outward * a[0]) ? b : a))
  return {
    facial: highest(
      section.filter((p) => p[0] >= middle),
      1,
    ),
    oral: highest(
      section.filter((p) => p[0] <= middle),
      -1,
    ),
  }
}

/** The lowest point of the occlusal surface between the two crests; halfway where there is no groove. */
function grooveOf(section: readonly Vec3[]): Vec3 {
  const { facial, oral } = crestsOf(section)
  const lower = Math.max(facial[2], oral[2])
  const [, floor] = range(section.map((p) => p[2]))
  const between = section.filter((p) => p[0] < facial[0] && p[0] > oral[0] && p[2] < (lower + floor) / 2)
  if (!between.some((p) => p[2] > lower + EDGE_BAND_MM)) return [(facial[0] + oral[0]) / 2, facial[1], lower]
  return between.reduce((a, b) => (b[2] > a[2] ? b : a))
}

const outline = (crests: readonly { facial: Vec3; oral: Vec3 }[]): (readonly [number, number])[] => [
  ...crests.map((c) => [c.facial[0], c.facial[1]] as const),
  ...crests.map((c) => [c.oral[0], c.oral[1]] as const).reverse(),
]

function neckOf(mesh: Mesh, base: number): readonly Vec3[] {
  const lines = sliceMesh(mesh, [0, 0, base - 1e-3], [0, 0, 1])
  return lines.reduce<readonly Vec3[]>((a, b) => (b.points.length > a.length ? b.points : a), [])
}

function regionOf(mesh: Mesh, triangle: number, mesialSign: number, base: number): CrownRegion {
  const [a, b, c] = corners(mesh, triangle)
  const across = cross(subtract(b, a), subtract(c, a))
  const size = length(across)
  const normal = size > 0 ? scale(across, 1 / size) : across
  if (dot(normal, [0, 0, 1]) > 0.7 && Math.max(a[2], b[2], c[2]) > base - 4) return 'base'
  if (normal[2] < -0.7) return 'edge'
  if (Math.abs(normal[0]) >= Math.abs(normal[1])) return normal[0] > 0 ? 'facial' : 'oral'
  return normal[1] * mesialSign > 0 ? 'mesial' : 'distal'
}
