import type { Mesh, Vec3 } from '../space/index.js'
import { edgeRings } from './edges.js'
import { type Shell, surveyShells } from './shells.js'
import { tidy } from './weld.js'
import { shellsOf } from './winding.js'

/** What there is to know of a mesh. Lengths in mm, provided that the mesh is. */
export interface MeshFacts {
  readonly triangles: number
  readonly vertices: number
  /**
   * Whether the surface parts an inside from an outside: every edge is run along as often one way as the other, and
   * something is enclosed. Where it is false nothing may be computed that needs an inside.
   */
  readonly closed: boolean
  /** Parts that hang together over edges. */
  readonly shells: number
  /** Edges with a triangle on one side only, and edges with more than two triangles. */
  readonly openEdges: number
  readonly manyFaceEdges: number
  /** Null where the mesh is not closed. */
  readonly volumeMm3: number | null
  readonly areaMm2: number
  readonly box: { readonly low: Vec3; readonly high: Vec3 }
}

/** The facts of a mesh as it is wound; corners in one place count as one vertex. */
export function meshFacts(given: Mesh): MeshFacts {
  const { mesh } = tidy(given)
  const rings = edgeRings(mesh)
  const { shellOf, shells } = shellsOf(mesh.triangles.length / 3, rings)
  const oneSided = new Uint8Array(shells)
  return factsOf(mesh, surveyShells({ mesh, rings, shellOf, shells, oneSided, turned: 0 }))
}

/** The facts of a mesh that consists of these shells. */
export function factsOf(mesh: Mesh, shells: readonly Shell[]): MeshFacts {
  const sum = (of: (shell: Shell) => number) => shells.reduce((total, shell) => total + of(shell), 0)
  const volume = sum((shell) => shell.volume)
  const closed = shells.length > 0 && shells.every((shell) => shell.closed) && volume !== 0
  const edge = (of: 'low' | 'high', axis: 0 | 1 | 2) =>
    shells.reduce(
      (best, shell) => (of === 'low' ? Math.min(best, shell.low[axis]) : Math.max(best, shell.high[axis])),
      of === 'low' ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY,
    )
  return {
    triangles: mesh.triangles.length / 3,
    vertices: mesh.positions.length / 3,
    closed,
    shells: shells.length,
    openEdges: sum((shell) => shell.openEdges),
    manyFaceEdges: sum((shell) => shell.manyFaceEdges),
    volumeMm3: closed ? volume : null,
    areaMm2: sum((shell) => shell.area),
    box: {
      low: [edge('low', 0), edge('low', 1), edge('low', 2)],
      high: [edge('high', 0), edge('high', 1), edge('high', 2)],
    },
  }
}
