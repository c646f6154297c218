import {
  boxAround,
  column,
  cross,
  dot,
  type Mesh,
  toWorld,
  type Volume,
  type WorldPoint,
} from '@alveometer/core'
import { copyRegion, type Field, resampleField } from './field.js'
import { fillInside } from './fill-inside.js'
import { dropIslands } from './islands.js'
import { marchingCubes } from './marching-cubes.js'

export interface BoneSurfaceOptions {
  /** Middle of the region, LPS mm. */
  readonly centre: WorldPoint
  /** The region is the box of voxels that reaches this far from the centre along each index axis. */
  readonly radiusMm: number
  /**
   * The grey value of the surface. Halfway from soft tissue to cortex is the truer outline but shows cancellous bone
   * hollow and loses thin plates; a quarter of the way keeps both and draws the outline about 0.1 mm too far out.
   */
  readonly isoGrey: number
  /** The most triangles the mesh may have; the grid is coarsened until they suffice. 50 000 unless told. */
  readonly targetTriangles?: number
  readonly signal?: AbortSignal
}

/** Connected parts below this many triangles are noise and single trabeculae. */
const FEWEST_IN_ISLAND = 200

/** The first grid has at most this many points along an axis: a picture of a few hundred pixels shows no more. */
const MOST_STEPS = 128

/**
 * The surface of bone round a site, for looking at, in LPS mm: closed, the winding facing outward, cut surfaces at the
 * border of the region and of the scanned field included. Marrow spaces, pulp and other hollows that open to the
 * outside by less than about two grid steps are filled. Voxels without data count as no bone.
 * It is a level of a smoothed grid and errs on plates thinner than about two grid steps: never measure on it.
 *
 * @returns an empty mesh when nothing in the region reaches `isoGrey`.
 * @throws RangeError when no part of the scan lies within the radius, or on a radius or target that is not positive.
 * @throws the signal's reason when aborted between two attempts.
 */
export function boneSurface(volume: Volume, options: BoneSurfaceOptions): Mesh {
  const { centre, radiusMm, isoGrey, targetTriangles = 50_000, signal } = options
  if (!(radiusMm > 0) || !(targetTriangles >= 100) || !Number.isFinite(isoGrey))
    throw new RangeError(
      `a bone surface needs a radius above 0 mm, a grey value and at least 100 triangles; got ${radiusMm}, ${isoGrey}, ${targetTriangles}`,
    )
  const box = boxAround(volume, [centre], radiusMm)
  if (box === null)
    throw new RangeError(
      `no part of the scan lies within ${radiusMm} mm of the site at ${centre.map((c) => c.toFixed(1)).join(', ')} mm`,
    )
  const low = Math.min(volume.grey.minimum, isoGrey - 1)
  const region = copyRegion(volume, box, low)
  let stepMm = Math.max(Math.min(...volume.spacingMm), (2 * radiusMm) / MOST_STEPS)
  for (;;) {
    signal?.throwIfAborted()
    const field = fillInside(resampleField(region, stepMm), isoGrey)
    const mesh = dropIslands(marchingCubes(field, isoGrey), FEWEST_IN_ISLAND)
    const count = mesh.triangles.length / 3
    if (count <= targetTriangles) return toPatient(mesh, field, volume)
    // Triangles grow with the inverse square of the step.
    stepMm *= Math.max(1.05, Math.sqrt(count / targetTriangles))
  }
}

/** From grid coordinates to LPS; a left-handed grid turns the winding round. */
function toPatient(mesh: Mesh, field: Field, volume: Volume): Mesh {
  const { start, step } = field
  const positions = new Float64Array(mesh.positions.length)
  for (let v = 0; v < positions.length; v += 3) {
    const [i, j, k] = [mesh.positions[v], mesh.positions[v + 1], mesh.positions[v + 2]] as [
      number,
      number,
      number,
    ]
    positions.set(
      toWorld(volume.indexToWorld, [start[0] + step[0] * i, start[1] + step[1] * j, start[2] + step[2] * k]),
      v,
    )
  }
  const m = volume.indexToWorld
  const leftHanded = dot(cross(column(m, 0), column(m, 1)), column(m, 2)) < 0
  const triangles = leftHanded ? mesh.triangles.slice().reverse() : mesh.triangles
  return { positions, triangles }
}
