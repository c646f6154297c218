import type { Vec3 } from '../space/index.js'
import { averageShape } from './average-shape.js'
import type { Crown } from './crown.js'
import { landmarksOf } from './crown.js'
import type { CrownSize } from './crown-size.js'
import { fullCrownSize } from './crown-size.js'
import { checkTooth, isPosterior, plusYSide } from './tooth.js'
import { toothDimensions } from './tooth-dimensions.js'

/** Sizes change with every key stroke; this many crowns are kept, the ones asked for last. */
const KEPT = 48
const made = new Map<string, Crown>()

/**
 * The crown of an ISO 3950 permanent tooth in the crown frame, mm: its length, widths and cervical line are those of
 * `toothDimensions`, or those of `size` where given, the absent ones scaled along (`fullCrownSize`). The cervical
 * widths scale with the widths and the rise of the cervical line with the length. Crowns are kept and shared: not to
 * be written to.
 * @throws RangeError naming the value for an unknown tooth or a size that is not plausible.
 */
export function tabulatedCrown(tooth: string, size?: CrownSize): Crown {
  const full = fullCrownSize(checkTooth(tooth), size)
  const key = [tooth, full.lengthMm, full.widthMdMm, full.widthLlMm].join(' ')
  const crown = made.get(key) ?? makeCrown(tooth, full)
  // Taken out and put back: a Map keeps the order of insertion, so the oldest is first.
  made.delete(key)
  made.set(key, crown)
  const [oldest] = made.keys()
  if (made.size > KEPT && oldest !== undefined) made.delete(oldest)
  return crown
}

function makeCrown(tooth: string, size: Required<CrownSize>): Crown {
  const table = toothDimensions(tooth)
  const shape = averageShape(tooth)
  const factors = [
    size.widthLlMm / table.widthLlMm,
    size.widthMdMm / table.widthMdMm,
    size.lengthMm / table.crownLengthMm,
  ]
  const scaled = (points: readonly Vec3[]): Vec3[] =>
    points.map(([x, y, z]) => [x * factors[0], y * factors[1], z * factors[2]])
  const mesh = {
    positions: shape.mesh.positions.map((v, i) => v * factors[i % 3]),
    triangles: shape.mesh.triangles,
  }
  const edge = scaled(shape.edge)
  const cejCurve = scaled(shape.cejCurve)
  const mesialSign = plusYSide(tooth) === 'mesial' ? 1 : -1
  return Object.freeze({
    tooth,
    mesh,
    regions: shape.regions,
    lengthMm: size.lengthMm,
    edge: Object.freeze(edge),
    occlusalTable: isPosterior(tooth)
      ? Object.freeze(scaled(shape.rim).map((p) => [p[0], p[1]] as const))
      : null,
    cejCurve: Object.freeze(cejCurve),
    landmarks: Object.freeze({
      ...landmarksOf(mesh, edge, cejCurve, mesialSign),
      // On back teeth the distal half of the margin is level: the zenith there is the middle, not any of its points.
      zenith: scaled([shape.zenith])[0],
    }),
  })
}
