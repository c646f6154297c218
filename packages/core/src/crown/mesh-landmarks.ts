import type { Mesh, Vec3 } from '../space/index.js'
import type { CrownLandmarks } from './crown.js'
import { landmarksOf } from './crown.js'
import { incisalEdge, occlusalLines } from './mesh-edge.js'
import { isPosterior, plusYSide } from './tooth.js'

/** Places on a crown that a person set: they take the place of those found. */
export type LandmarkMarks = Partial<
  Pick<CrownLandmarks, 'edgeMesial' | 'edgeDistal' | 'mesialContact' | 'distalContact' | 'zenith'>
>

/** The lines and points of a mesh crown in its frame, mm; see `Crown`. */
export interface MeshLandmarks {
  readonly edge: readonly Vec3[]
  readonly occlusalTable: readonly (readonly [number, number])[] | null
  readonly landmarks: CrownLandmarks
}

/** The zenith is looked for within so many degrees of straight facially. Own choice. */
const ZENITH_DEG = 60

/**
 * Reads the edge line (anterior) or central groove and occlusal table (posterior) off a closed mesh in the crown
 * frame, and the landmarks that hang on them and on the cervical margin. Marked ends of the edge line become its ends
 * exactly, and what lies between is read off the mesh; a marked contact or zenith replaces the found one.
 * @throws RangeError when the mesh has no edge line: it is nothing like a crown.
 */
export function meshLandmarks(
  mesh: Mesh,
  tooth: string,
  margin: readonly Vec3[],
  marks: LandmarkMarks,
): MeshLandmarks {
  const mesialSign = plusYSide(tooth) === 'mesial' ? 1 : -1
  const occlusal = isPosterior(tooth) ? occlusalLines(mesh, mesialSign, marks) : null
  const edge = occlusal ? occlusal.groove : incisalEdge(mesh, mesialSign, marks)
  if (edge.length < 2)
    throw new RangeError(
      `the crown mesh for tooth ${tooth} has no edge line where the frame says: turn the crown's frame or choose another mesh`,
    )
  const found = landmarksOf(mesh, edge, margin, mesialSign)
  return {
    edge,
    occlusalTable: occlusal ? occlusal.table : null,
    landmarks: {
      ...found,
      mesialContact: marks.mesialContact ?? found.mesialContact,
      distalContact: marks.distalContact ?? found.distalContact,
      edgeCentre: middleOfLine(edge),
      zenith: marks.zenith ?? zenithOf(margin) ?? found.zenith,
    },
  }
}

/** The point half way between the ends of a line, measured mesiodistally. */
function middleOfLine(line: readonly Vec3[]): Vec3 {
  const y = (line[0][1] + line[line.length - 1][1]) / 2
  return line.reduce((best, p) => (Math.abs(p[1] - y) < Math.abs(best[1] - y) ? p : best))
}

/** The most apical point of the facial margin. */
function zenithOf(margin: readonly Vec3[]): Vec3 | null {
  const x = margin.reduce((sum, p) => sum + p[0] / margin.length, 0)
  const y = margin.reduce((sum, p) => sum + p[1] / margin.length, 0)
  const facial = margin.filter(
    (p) => Math.abs(Math.atan2(p[1] - y, p[0] - x)) <= (ZENITH_DEG * Math.PI) / 180,
  )
  return facial.length === 0 ? null : facial.reduce((best, p) => (p[2] > best[2] ? p : best))
}
