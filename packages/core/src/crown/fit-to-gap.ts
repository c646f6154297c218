import type { Mat4, Vec3 } from '../space/index.js'
import { add, fromFrame, invert, multiply, scale, subtract, transformPoint } from '../space/index.js'
import type { Crown } from './crown.js'
import type { CrownSize } from './crown-size.js'
import { fullCrownSize, plausibleSize, sizeOf } from './crown-size.js'
import { tabulatedCrown } from './tabulated-crown.js'
import { plusYSide } from './tooth.js'

/** A crown and the two contact points it has to reach. Poses take the crown frame to LPS mm, without scale or mirror. */
export type GapQuestion = {
  readonly pose: Mat4
  /** Contact surfaces of the neighbours, LPS mm. */
  readonly mesialContact: Vec3
  readonly distalContact: Vec3
} & (
  | { readonly kind: 'tabulated'; readonly tooth: string; readonly size?: CrownSize }
  /** A mesh is not scaled. `crown`: in its own frame. */
  | { readonly kind: 'mesh'; readonly crown: Crown }
)

export interface GapFit {
  /** Crown frame to LPS mm. */
  readonly pose: Mat4
  /** What the crown was moved by, LPS to LPS: for a pose from other coordinates than the crown frame. */
  readonly motion: Mat4
  /** Of a tabulated crown: its sizes with the new width; null for a mesh. */
  readonly size: CrownSize | null
  /** Between the two contacts, seen along the crown's long axis, mm. */
  readonly gapMm: number
  /** The crown's greatest mesiodistal width as it stands now, and by how much that was changed, mm; a mesh: 0. */
  readonly widthMm: number
  readonly changeMm: number
  /** The gap less the distance of the crown's own contacts, mm: 0 for a tabulated crown, negative where a mesh is too wide. */
  readonly leftMm: number
  /** About its long axis, positive where the facial face turned mesially, degrees. */
  readonly turnedDeg: number
}

/**
 * Puts a crown between two contact points: turned about its long axis and moved, never tilted, until its contact
 * landmarks are where the points are, seen along that axis; a tabulated crown is made as wide as that takes, its
 * other sizes scaled along unless given. Where the points' heights differ from those of the landmarks the means meet.
 * A mesh keeps its size and is centred.
 * @throws RangeError with what to do where the gap is under half or over double the table's width for the tooth, or
 * the crown would have to turn by more than 90 degrees.
 */
export function fitToGap(question: GapQuestion): GapFit {
  const tooth = question.kind === 'mesh' ? question.crown.tooth : question.tooth
  const toCrown = invert(question.pose)
  const mesial = transformPoint(toCrown, question.mesialContact)
  const distal = transformPoint(toCrown, question.distalContact)
  const across = subtract(mesial, distal)
  const gapMm = Math.hypot(across[0], across[1])
  checkGap(tooth, gapMm)
  const before = question.kind === 'mesh' ? question.crown : tabulatedCrown(tooth, question.size)
  const size = question.kind === 'mesh' ? null : sizeFor(tooth, question.size ?? {}, gapMm)
  const crown = size === null ? before : tabulatedCrown(tooth, size)
  const own = contactsOf(crown)

  const turn = angleOf(across) - angleOf(own.across)
  const turned = Math.atan2(Math.sin(turn), Math.cos(turn))
  if (Math.abs(turned) > Math.PI / 2)
    throw new RangeError(
      `the crown of tooth ${tooth} would have to turn by ${(Math.abs(turned * 180) / Math.PI).toFixed(0)} degrees: the mesial and the distal contact are the wrong way round, or of another gap; mark them again`,
    )
  const [c, s] = [Math.cos(turned), Math.sin(turned)]
  const middle = scale(add(mesial, distal), 0.5)
  const [x, y, z] = own.middle
  const origin: Vec3 = [middle[0] - (c * x - s * y), middle[1] - (s * x + c * y), middle[2] - z]
  const pose = multiply(question.pose, fromFrame([c, s, 0], [-s, c, 0], [0, 0, 1], origin))
  const widthMm = sizeOf(crown).widthMdMm
  return {
    pose,
    motion: multiply(pose, toCrown),
    size,
    gapMm,
    widthMm,
    changeMm: widthMm - sizeOf(before).widthMdMm,
    leftMm: gapMm - own.widthMm,
    turnedDeg: ((turned * 180) / Math.PI) * (plusYSide(tooth) === 'mesial' ? 1 : -1),
  }
}

const angleOf = ([x, y]: Vec3): number => Math.atan2(y, x)

function contactsOf({ landmarks: { mesialContact, distalContact } }: Crown) {
  const across = subtract(mesialContact, distalContact)
  return {
    across,
    middle: scale(add(mesialContact, distalContact), 0.5),
    widthMm: Math.hypot(across[0], across[1]),
  }
}

/** The sizes with the width at which the crown's contacts are as far apart as the gap is wide, mm. */
function sizeFor(tooth: string, size: CrownSize, gapMm: number): CrownSize {
  let width = fullCrownSize(tooth, size).widthMdMm
  // The contacts do not lie at quite the same place facially, and that part scales with the other widths: it takes
  // a few rounds.
  for (let i = 0; i < 30; i++) {
    const { widthMm } = contactsOf(tabulatedCrown(tooth, { ...size, widthMdMm: width }))
    width *= gapMm / widthMm
    if (Math.abs(widthMm - gapMm) < 1e-9) break
  }
  return { ...size, widthMdMm: width }
}

function checkGap(tooth: string, gapMm: number): void {
  const { leastMm, greatestMm } = plausibleSize(tooth, 'widthMdMm')
  if (gapMm >= leastMm && gapMm <= greatestMm) return
  throw new RangeError(
    `a gap of ${gapMm.toFixed(2)} mm between the contacts does not fit tooth ${tooth}, which takes ${leastMm.toFixed(2)} to ${greatestMm.toFixed(2)} mm: mark the contact surfaces of the two neighbours again, or check the tooth number`,
  )
}
