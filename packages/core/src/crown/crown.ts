import type { Mesh, Vec3 } from '../space/index.js'

/** Which face of the crown a triangle belongs to; `edge` is the incisal edge or the occlusal table, `base` the cervical cap. */
export type CrownRegion = 'facial' | 'oral' | 'mesial' | 'distal' | 'edge' | 'base'

/**
 * A planned crown in its own frame, mm: origin at the cervical centre, +z apical, +x facial, +y = z x x.
 * It stands from the base near z = 0 up to its incisal edge or cusp tips at z = -lengthMm.
 */
export interface Crown {
  /** ISO 3950. */
  readonly tooth: string
  /** Closed, wound outward. Not to be written to: crowns are shared. */
  readonly mesh: Mesh
  /** One per triangle of the mesh. */
  readonly regions: readonly CrownRegion[]
  readonly lengthMm: number
  /** Incisal-edge line (anterior) or central-groove line (posterior), from the mesial to the distal end. */
  readonly edge: readonly Vec3[]
  /** Outline of the occlusal table as [x, y], a closed polygon without its first point repeated; null on anterior teeth. */
  readonly occlusalTable: readonly (readonly [number, number])[] | null
  /** The cervical margin, a closed line without its first point repeated. */
  readonly cejCurve: readonly Vec3[]
  readonly landmarks: CrownLandmarks
  /** True where the crown's mesh was open at the cervical end and was closed there by a fan. */
  readonly baseCapped?: boolean
}

/** Points of the crown frame that views and tests refer to, mm. */
export interface CrownLandmarks {
  readonly mesialContact: Vec3
  readonly distalContact: Vec3
  /** The most facial and the most oral point: the heights of contour. */
  readonly facialContour: Vec3
  readonly oralContour: Vec3
  /** Middle of the edge line, and its two ends. */
  readonly edgeCentre: Vec3
  readonly edgeMesial: Vec3
  readonly edgeDistal: Vec3
  /** The most apical point of the facial cervical margin. */
  readonly zenith: Vec3
}

/** The point of the crown's edge line at mesiodistal position `y` (crown frame, mm), held at the ends beyond them. */
export function edgeAt(crown: Crown, y: number): Vec3 {
  const { edge } = crown
  const rising = edge[edge.length - 1][1] >= edge[0][1]
  for (let i = 1; i < edge.length; i++) {
    const a = edge[i - 1]
    const b = edge[i]
    const beyond = rising ? y > b[1] : y < b[1]
    if (beyond && i < edge.length - 1) continue
    const span = b[1] - a[1]
    const k = span === 0 ? 0 : Math.min(1, Math.max(0, (y - a[1]) / span))
    return [a[0] + k * (b[0] - a[0]), a[1] + k * span, a[2] + k * (b[2] - a[2])]
  }
  return edge[0]
}

/** The landmarks of a mesh whose edge line and cervical margin are known. */
export function landmarksOf(
  mesh: Mesh,
  edge: readonly Vec3[],
  cejCurve: readonly Vec3[],
  mesialSign: 1 | -1,
): CrownLandmarks {
  const furthest = (direction: Vec3): Vec3 => {
    let best = Number.NEGATIVE_INFINITY
    let at = 0
    const p = mesh.positions
    for (let i = 0; i < p.length; i += 3) {
      const d = p[i] * direction[0] + p[i + 1] * direction[1] + p[i + 2] * direction[2]
      if (d > best) {
        best = d
        at = i
      }
    }
    return [p[at], p[at + 1], p[at + 2]]
  }
  return {
    mesialContact: furthest([0, mesialSign, 0]),
    distalContact: furthest([0, -mesialSign, 0]),
    facialContour: furthest([1, 0, 0]),
    oralContour: furthest([-1, 0, 0]),
    edgeCentre: edge[Math.floor(edge.length / 2)],
    edgeMesial: edge[0],
    edgeDistal: edge[edge.length - 1],
    zenith: cejCurve.reduce((best, p) => (p[0] > 0 && (best[0] <= 0 || p[2] > best[2]) ? p : best)),
  }
}
