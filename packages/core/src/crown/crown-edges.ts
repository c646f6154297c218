import type { Mesh, Vec3 } from '../space/index.js'
import { corners, cross, dot, subtract } from '../space/index.js'
import type { ChannelSurface } from './channel-surface.js'

/** The edges of a crown's mesh, and the planes of its triangles. Not to be written to: shared. */
export interface CrownEdges {
  /** Six coordinates an edge. */
  readonly ends: Float64Array
  /** Two triangles an edge, the second -1 where there is none. */
  readonly sides: Int32Array
  /** Four numbers a triangle: nx x + ny y + nz z = d, outward. */
  readonly planes: Float64Array
}

const made = new WeakMap<ChannelSurface, CrownEdges>()

export function crownEdges(surface: ChannelSurface): CrownEdges {
  const known = made.get(surface)
  if (known) return known
  const { mesh } = surface.crown
  const ends: number[] = []
  const sides: number[] = []
  surface.neighbours.forEach((other, i) => {
    const t = Math.floor(i / 3)
    if (other > t) return
    const triangle = corners(mesh, t)
    ends.push(...triangle[i % 3], ...triangle[(i + 1) % 3])
    sides.push(t, other)
  })
  const edges = { ends: Float64Array.from(ends), sides: Int32Array.from(sides), planes: planesOf(mesh) }
  made.set(surface, edges)
  return edges
}

function planesOf(mesh: Mesh): Float64Array {
  const planes = new Float64Array((4 * mesh.triangles.length) / 3)
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const [a, b, c] = corners(mesh, t)
    const normal = cross(subtract(b, a), subtract(c, a))
    planes.set([...normal, dot(normal, a)], 4 * t)
  }
  return planes
}

/** One for each triangle whose outside looks away from a point, else 0. */
export function looksAway({ planes }: CrownEdges, [x, y, z]: Vec3): Uint8Array {
  const away = new Uint8Array(planes.length / 4)
  for (let t = 0; t < away.length; t++) {
    const p = 4 * t
    if (planes[p] * x + planes[p + 1] * y + planes[p + 2] * z < planes[p + 3]) away[t] = 1
  }
  return away
}

/** The numbers of the edges between what looks away and what does not. */
export function outlineEdges({ sides }: CrownEdges, away: Uint8Array): number[] {
  const found: number[] = []
  for (let n = 0; n < sides.length / 2; n++) {
    const other = sides[2 * n + 1]
    if (away[sides[2 * n]] !== (other < 0 ? 0 : away[other])) found.push(n)
  }
  return found
}
