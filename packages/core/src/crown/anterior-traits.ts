/** What tells one front tooth from another. Lengths in mm, heights as shares of the crown from its cervical margin. */
export interface AnteriorTraits {
  /** Middle of the incisal edge, facial of the root axis, and how thick the edge is. */
  readonly edgeX: number
  readonly edgeThickness: number
  /** Heights of contour of the facial face and of the cingulum. */
  readonly facialCrest: number
  readonly cingulum: number
  /** How far the facial outline stands out of the straight line from its crest to the edge, half way. */
  readonly labialFullness: number
  /** How far the oral outline sinks in from the straight line cingulum to edge, at a third and at two thirds of it. */
  readonly hollow: readonly [number, number]
  /** Depth of the fossa beside the marginal ridges, and their height. */
  readonly fossa: number
  readonly ridges: number
  /** Depth of the two grooves between the facial lobes. */
  readonly lobes: number
  /** Ridges of a canine: down the middle of its facial and of its oral face. */
  readonly facialRidge: number
  readonly oralRidge: number
  /** Boxiness of the facial half: 2 an ellipse; and how much the oral half narrows: 2 an ellipse, lower pointed. */
  readonly facialPower: number
  readonly oralPower: number
  /** Contacts as a share of the height, and by how much the two corners are rounded. */
  readonly mesialContact: number
  readonly distalContact: number
  readonly mesialCorner: number
  readonly distalCorner: number
  /** Where the highest point of the edge stands mesial of the middle, and how far its two slopes fall. */
  readonly tipY: number
  readonly mesialFall: number
  readonly distalFall: number
}

const incisor = { facialRidge: 0, oralRidge: 0, lobes: 0.1 }

/**
 * Upper 1 to 3. Shapes as the anatomy books describe them (Nelson and Ash, Dental Anatomy, from memory): heights of
 * contour in the cervical third, mesial contacts more incisal than distal ones, the mesial corner sharper, the
 * distal one rounder, most so on the lateral incisor. The numbers are our own choice to draw that.
 */
export const UPPER_ANTERIOR: readonly AnteriorTraits[] = [
  {
    ...{ ...incisor, edgeX: 0.5, edgeThickness: 0.85, facialCrest: 0.2, cingulum: 0.2 },
    ...{ labialFullness: 0.42, hollow: [0.72, 0.6], fossa: 0.38, ridges: 0.5 },
    ...{ facialPower: 2.5, oralPower: 1.45, mesialContact: 0.82, distalContact: 0.7 },
    ...{ mesialCorner: 0.5, distalCorner: 1.15, tipY: 1.2, mesialFall: 0.08, distalFall: 0.4 },
  },
  {
    ...{ ...incisor, edgeX: 0.45, edgeThickness: 0.85, facialCrest: 0.2, cingulum: 0.22 },
    ...{ labialFullness: 0.42, hollow: [0.68, 0.55], fossa: 0.35, ridges: 0.42 },
    ...{ facialPower: 2.3, oralPower: 1.45, mesialContact: 0.72, distalContact: 0.58 },
    ...{ mesialCorner: 0.75, distalCorner: 1.35, tipY: 0.6, mesialFall: 0.15, distalFall: 0.6 },
  },
  {
    ...{ edgeX: 0.7, edgeThickness: 0.95, facialCrest: 0.27, cingulum: 0.26 },
    ...{ labialFullness: 0.5, hollow: [0.3, 0.35], fossa: 0.3, ridges: 0.35 },
    ...{ lobes: 0.08, facialRidge: 0.3, oralRidge: 0.4, facialPower: 2.1, oralPower: 1.6 },
    ...{ mesialContact: 0.62, distalContact: 0.48, mesialCorner: 1.2, distalCorner: 1.5 },
    ...{ tipY: 0.25, mesialFall: 1.7, distalFall: 2.2 },
  },
]

/** Lower 1 to 3: narrower, smoother, lingually inclined edges; the central incisor is the same on both sides. */
export const LOWER_ANTERIOR: readonly AnteriorTraits[] = [
  {
    ...{ ...incisor, lobes: 0.04, edgeX: -0.35, edgeThickness: 0.8, facialCrest: 0.18, cingulum: 0.18 },
    ...{ labialFullness: 0.25, hollow: [0.55, 0.42], fossa: 0.12, ridges: 0.12 },
    ...{ facialPower: 2.3, oralPower: 1.6, mesialContact: 0.86, distalContact: 0.85 },
    ...{ mesialCorner: 0.32, distalCorner: 0.36, tipY: 0, mesialFall: 0.05, distalFall: 0.05 },
  },
  {
    ...{ ...incisor, lobes: 0.04, edgeX: -0.35, edgeThickness: 0.8, facialCrest: 0.18, cingulum: 0.18 },
    ...{ labialFullness: 0.25, hollow: [0.55, 0.42], fossa: 0.13, ridges: 0.13 },
    ...{ facialPower: 2.3, oralPower: 1.6, mesialContact: 0.85, distalContact: 0.77 },
    ...{ mesialCorner: 0.36, distalCorner: 0.6, tipY: 0.5, mesialFall: 0.05, distalFall: 0.3 },
  },
  {
    ...{ edgeX: -0.15, edgeThickness: 1.1, facialCrest: 0.2, cingulum: 0.22 },
    ...{ labialFullness: 0.4, hollow: [0.5, 0.32], fossa: 0.2, ridges: 0.22 },
    ...{ lobes: 0.05, facialRidge: 0.2, oralRidge: 0.22, facialPower: 2.05, oralPower: 1.65 },
    ...{ mesialContact: 0.78, distalContact: 0.62, mesialCorner: 0.75, distalCorner: 1.05 },
    ...{ tipY: 0.35, mesialFall: 1.25, distalFall: 2.1 },
  },
]
