import type { Mesh, Vec3 } from '../space/index.js'
import { anteriorForm } from './anterior-form.js'
import type { Crown } from './crown.js'
import { landmarksOf } from './crown.js'
import type { Loft } from './loft.js'
import { loft } from './loft.js'
import { posteriorForm } from './posterior-form.js'
import { checkTooth, isPosterior, plusYSide } from './tooth.js'
import { toothDimensions } from './tooth-dimensions.js'

const made = new Map<string, Crown>()

/**
 * The average crown of an ISO 3950 permanent tooth in the crown frame, mm: its length, widths and cervical line are
 * those of `toothDimensions`. Made once per tooth and shared: not to be written to.
 * @throws RangeError naming the value for an unknown tooth.
 */
export function tabulatedCrown(tooth: string): Crown {
  const known = made.get(checkTooth(tooth))
  if (known) return known
  const crown = makeCrown(tooth)
  made.set(tooth, crown)
  return crown
}

function makeCrown(tooth: string): Crown {
  const size = toothDimensions(tooth)
  const posterior = isPosterior(tooth)
  const mesialSign = plusYSide(tooth) === 'mesial' ? 1 : -1
  const shape = loft(posterior ? posteriorForm(tooth) : anteriorForm(tooth), {
    lengthMm: size.crownLengthMm,
    cejMesialMm: size.cejMesialMm,
    cejDistalMm: size.cejDistalMm,
  })
  const { mesh, regions, edge, rim, cejCurve } = mesialSign === 1 ? shape : mirrored(shape)
  return Object.freeze({
    tooth,
    mesh,
    regions: Object.freeze(regions),
    lengthMm: size.crownLengthMm,
    edge: Object.freeze(edge),
    occlusalTable: posterior ? Object.freeze(rim.map((p) => [p[0], p[1]] as const)) : null,
    cejCurve: Object.freeze(cejCurve),
    landmarks: Object.freeze(landmarksOf(mesh, edge, cejCurve, mesialSign)),
  })
}

/** The same crown on the other side of the midline: y turned over, and the winding with it. */
function mirrored(shape: Loft): Loft {
  const flip = (points: readonly Vec3[]): Vec3[] => points.map(([x, y, z]) => [x, -y, z])
  return {
    ...shape,
    mesh: mirroredMesh(shape.mesh),
    edge: flip(shape.edge),
    rim: flip(shape.rim),
    cejCurve: flip(shape.cejCurve),
  }
}

const mirroredMesh = (mesh: Mesh): Mesh => ({
  positions: mesh.positions.map((v, i) => (i % 3 === 1 ? -v : v)),
  triangles: mesh.triangles.map((_, i, all) => all[i % 3 === 0 ? i : i % 3 === 1 ? i + 1 : i - 1]),
})
