import type { CrownForm } from './crown-form.js'
import { corner, halves, hollow, side } from './crown-form.js'
import { isUpper, placeInQuadrant } from './tooth.js'
import { toothDimensions } from './tooth-dimensions.js'

/** What tells one front tooth from another. Lengths in mm; the outlines are those of the anatomy books. */
interface Traits {
  /** Middle of the incisal edge, facial of the root axis. */
  readonly edgeX: number
  readonly edgeThickness: number
  /** Heights of contour as a share of the crown, and how far the crown as a whole stands facially. */
  readonly facialCrest: number
  readonly cingulum: number
  readonly shift: number
  /** Curvature of the labial outline: 1 straight from the crest to the edge, higher = fuller. */
  readonly labial: number
  /** Depth of the oral concavity: 2 shallow, 3 deep. */
  readonly fossa: number
  readonly oralRidge: number
  readonly taper: number
  /** Contacts as a share of the height, and the rounding of the two corners. */
  readonly mesialContact: number
  readonly distalContact: number
  readonly mesialCorner: number
  readonly distalCorner: number
  /** The cusp of a canine: where its tip stands mesial of the middle, and how far its slopes fall. */
  readonly tipY: number
  readonly mesialFall: number
  readonly distalFall: number
}

const UPPER: readonly Traits[] = [
  {
    ...{ edgeX: 0.6, edgeThickness: 0.9, facialCrest: 0.2, cingulum: 0.2, shift: 0, labial: 1.45 },
    ...{ fossa: 2.7, oralRidge: 0.45, taper: 0.12, mesialContact: 0.86, distalContact: 0.7 },
    ...{ mesialCorner: 0.55, distalCorner: 1.15, tipY: 1.2, mesialFall: 0.05, distalFall: 0.35 },
  },
  {
    ...{ edgeX: 0.5, edgeThickness: 0.9, facialCrest: 0.2, cingulum: 0.2, shift: 0, labial: 1.5 },
    ...{ fossa: 2.9, oralRidge: 0.5, taper: 0.12, mesialContact: 0.78, distalContact: 0.6 },
    ...{ mesialCorner: 0.8, distalCorner: 1.3, tipY: 0.6, mesialFall: 0.15, distalFall: 0.5 },
  },
  {
    ...{ edgeX: 0.7, edgeThickness: 1.1, facialCrest: 0.25, cingulum: 0.22, shift: 0, labial: 1.6 },
    ...{ fossa: 2.2, oralRidge: 0.3, taper: 0.18, mesialContact: 0.68, distalContact: 0.54 },
    ...{ mesialCorner: 1.0, distalCorner: 1.2, tipY: 0.25, mesialFall: 1.5, distalFall: 1.9 },
  },
]

const LOWER: readonly Traits[] = [
  {
    ...{ edgeX: -0.5, edgeThickness: 0.9, facialCrest: 0.18, cingulum: 0.2, shift: 0, labial: 1.25 },
    ...{ fossa: 2.2, oralRidge: 0.15, taper: 0.15, mesialContact: 0.88, distalContact: 0.86 },
    ...{ mesialCorner: 0.35, distalCorner: 0.4, tipY: 0, mesialFall: 0.05, distalFall: 0.05 },
  },
  {
    ...{ edgeX: -0.5, edgeThickness: 0.9, facialCrest: 0.18, cingulum: 0.2, shift: 0, labial: 1.25 },
    ...{ fossa: 2.2, oralRidge: 0.15, taper: 0.15, mesialContact: 0.87, distalContact: 0.8 },
    ...{ mesialCorner: 0.4, distalCorner: 0.6, tipY: 0.5, mesialFall: 0.05, distalFall: 0.3 },
  },
  {
    ...{ edgeX: -0.3, edgeThickness: 1.1, facialCrest: 0.2, cingulum: 0.2, shift: 0, labial: 1.4 },
    ...{ fossa: 2.1, oralRidge: 0.2, taper: 0.2, mesialContact: 0.8, distalContact: 0.66 },
    ...{ mesialCorner: 0.8, distalCorner: 1.0, tipY: 0.3, mesialFall: 1.2, distalFall: 1.9 },
  },
]

/** How high the edge is rounded over, and how far its line stops short of the corners, mm. */
const EDGE_ROUNDING_MM = 0.35
const EDGE_INSET_MM = 0.4

/** The crown form of an incisor or canine: labial convexity, cingulum and fossa, a thin incisal edge. */
export function anteriorForm(tooth: string): CrownForm {
  const size = toothDimensions(tooth)
  const traits = (isUpper(tooth) ? UPPER : LOWER)[placeInQuadrant(tooth) - 1]
  const { md, mdCervical, ll, llCervical } = halves(size)
  const half = traits.edgeThickness / 2
  const mesialReach = md - traits.mesialCorner
  const distalReach = md - traits.distalCorner
  return {
    facial: side(
      llCervical,
      ll + traits.shift,
      traits.facialCrest,
      traits.edgeX + half,
      (s) => s ** traits.labial,
    ),
    oral: side(llCervical, ll - traits.shift, traits.cingulum, half - traits.edgeX, (s) =>
      hollow(s, traits.fossa),
    ),
    mesial: side(mdCervical, md, traits.mesialContact, mesialReach, corner),
    distal: side(mdCervical, md, traits.distalContact, distalReach, corner),
    crests: [traits.facialCrest, traits.cingulum, traits.mesialContact, traits.distalContact],
    facialPower: (t) => 2.2 + 0.5 * t,
    oralPower: (t) => 2 + 0.3 * t,
    taper: traits.taper,
    shear: 0,
    oralRidge: (t) => traits.oralRidge * Math.sin(Math.PI * Math.min(1, Math.max(0, (t - 0.2) / 0.8))),
    ridgeX: () => traits.edgeX,
    ridgeShare: (halfLength) => 1 - EDGE_INSET_MM / halfLength,
    depth: (x, y) => {
      const from = y - traits.tipY
      const reach = from > 0 ? mesialReach - traits.tipY : distalReach + traits.tipY
      const fall = from > 0 ? traits.mesialFall : traits.distalFall
      return fall * slope(from / reach) + EDGE_ROUNDING_MM * corner(Math.abs(x - traits.edgeX) / half)
    },
  }
}

/** |s|, rounded off over the tip. */
const slope = (s: number): number => Math.sqrt(s * s + 0.03) - Math.sqrt(0.03)
