import type { Mesh, Vec3 } from '../space/index.js'
import { anteriorForm } from './anterior-form.js'
import { LOWER_ANTERIOR, UPPER_ANTERIOR } from './anterior-traits.js'
import { zenithDistalMm } from './cervical-line.js'
import type { CrownForm } from './crown-form.js'
import type { Loft } from './loft.js'
import { loft } from './loft.js'
import { posteriorForm } from './posterior-form.js'
import { LOWER_POSTERIOR, UPPER_POSTERIOR } from './posterior-traits.js'
import { checkTooth, isPosterior, isUpper, placeInQuadrant, plusYSide } from './tooth.js'
import { toothDimensions } from './tooth-dimensions.js'

const shapes = new Map<string, Loft>()

/**
 * The surface of a tooth's crown at the sizes of the table, in the crown frame, mm. Made once per tooth: not to be
 * written to.
 * @throws RangeError naming the value for an unknown tooth.
 */
export function averageShape(tooth: string): Loft {
  const known = shapes.get(checkTooth(tooth))
  if (known) return known
  const shape = plusYSide(tooth) === 'mesial' ? mesialShape(tooth) : mirrored(mesialShape(tooth))
  shapes.set(tooth, shape)
  return shape
}

/** With +y mesial, whatever the quadrant. */
function mesialShape(tooth: string): Loft {
  const size = toothDimensions(tooth)
  return loft(formOf(tooth), {
    lengthMm: size.crownLengthMm,
    widthMdMm: size.widthMdMm,
    widthLlMm: size.widthLlMm,
    cervical: {
      mesialMm: size.cejMesialMm,
      distalMm: size.cejDistalMm,
      halfWidthMm: size.cervicalMdMm / 2,
      zenithY: -zenithDistalMm(isUpper(tooth), placeInQuadrant(tooth)),
    },
  })
}

function formOf(tooth: string): CrownForm {
  const size = toothDimensions(tooth)
  const half = {
    md: size.widthMdMm / 2,
    mdCervical: size.cervicalMdMm / 2,
    ll: size.widthLlMm / 2,
    llCervical: size.cervicalLlMm / 2,
  }
  const place = placeInQuadrant(tooth)
  return isPosterior(tooth)
    ? posteriorForm((isUpper(tooth) ? UPPER_POSTERIOR : LOWER_POSTERIOR)[place - 4], half)
    : anteriorForm((isUpper(tooth) ? UPPER_ANTERIOR : LOWER_ANTERIOR)[place - 1], half)
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
    zenith: flip([shape.zenith])[0],
  }
}

const mirroredMesh = (mesh: Mesh): Mesh => ({
  positions: mesh.positions.map((v, i) => (i % 3 === 1 ? -v : v)),
  triangles: mesh.triangles.map((_, i, all) => all[i % 3 === 0 ? i : i % 3 === 1 ? i + 1 : i - 1]),
})
