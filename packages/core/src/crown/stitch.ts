import type { Mesh, Vec3 } from '../space/index.js'
import type { CrownRegion } from './crown.js'

/** Rows of points round a crown, each from mesial over facial; all as long as each other. */
export interface CrownRows {
  /** From the middle of the base, which is the origin, outward; without the margin. */
  readonly base: readonly (readonly Vec3[])[]
  /** From the cervical margin to the rim. */
  readonly wall: readonly (readonly Vec3[])[]
  /** From the rim, without it, inward. */
  readonly inside: readonly (readonly Vec3[])[]
  /** The line the inside closes on, from mesial to distal: half as many points and one. */
  readonly edge: readonly Vec3[]
}

/** Half the arc, degrees, of the mesial and of the distal face; the facial and oral faces take the rest. */
const PROXIMAL_DEG = 38

/** A closed mesh, wound outward, through rows of points; one region per triangle. +y is mesial here. */
export function stitch({ base, wall, inside, edge }: CrownRows): { mesh: Mesh; regions: CrownRegion[] } {
  const rows = [...base, ...wall, ...inside]
  const around = rows[0].length
  const half = around / 2
  const points: Vec3[] = [...rows.flat(), ...edge]
  const regions: CrownRegion[] = []
  const triangles: number[] = []
  const add = (region: CrownRegion, ...corners: readonly number[]) => {
    triangles.push(...corners)
    regions.push(region)
  }
  const at = (row: number, k: number) => row * around + (k % around)
  const quad = (region: CrownRegion, row: number, k: number) => {
    const [a, b, c, d] = [at(row, k), at(row, k + 1), at(row + 1, k + 1), at(row + 1, k)]
    add(region, a, b, c)
    add(region, a, c, d)
  }
  for (let row = 0; row + 1 < rows.length; row++)
    for (let k = 0; k < around; k++) {
      const above = row - base.length
      quad(above < 0 ? 'base' : above < wall.length - 1 ? faceOf(k, around) : 'edge', row, k)
    }
  const last = rows.length - 1
  const ridge = (k: number) => rows.length * around + (k <= half ? k : around - k)
  for (let k = 0; k < around; k++) {
    // At its two ends the line runs straight on into the row: the other diagonal would make a flat triangle there.
    const startsAtEnd = k % half === 0
    add('edge', at(last, k), at(last, k + 1), ridge(startsAtEnd ? k : k + 1))
    add('edge', startsAtEnd ? at(last, k + 1) : at(last, k), ridge(k + 1), ridge(k))
  }
  const centre = points.length
  points.push([0, 0, 0])
  for (let k = 0; k < around; k++) add('base', centre, at(0, k + 1), at(0, k))
  const mesh: Mesh = { positions: Float64Array.from(points.flat()), triangles: Uint32Array.from(triangles) }
  return { mesh, regions }
}

function faceOf(k: number, around: number): CrownRegion {
  const deg = ((k + 0.5) * 360) / around
  if (deg < PROXIMAL_DEG || deg > 360 - PROXIMAL_DEG) return 'mesial'
  if (Math.abs(deg - 180) < PROXIMAL_DEG) return 'distal'
  return deg < 180 ? 'facial' : 'oral'
}
