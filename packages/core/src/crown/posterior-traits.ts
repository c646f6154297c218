/** A cusp tip as shares of the occlusal table's half lengths (mesial, facial) and how far it stays below the highest, mm. */
export type Cusp = readonly [mesial: number, facial: number, lowerMm: number]

/** A groove that runs over a rim of the table onto the wall: its mesial share there, and how deep it is, mm. */
export type WallGroove = readonly [mesial: number, depthMm: number]

/** What tells one back tooth from another. Shares unless a name says mm. */
export interface PosteriorTraits {
  readonly cusps: readonly Cusp[]
  /** Distance of the facial and oral rim of the table from the axis, as a share of half the crown's width. */
  readonly facialRim: number
  readonly oralRim: number
  /** Heights of contour as a share of the crown. */
  readonly facialCrest: number
  readonly oralCrest: number
  /** How far the crown as a whole stands facially of the root, mm. */
  readonly shift: number
  /** How boxy the cross-section is: 2 an ellipse; facial and oral halves. */
  readonly facialPower: number
  readonly oralPower: number
  /** How much wider the facial half is than the oral half, and the mesial half than the distal one. */
  readonly taper: number
  readonly distalTaper: number
  /** How far the facial corner is shifted mesially against the oral one: the rhomboid upper molar. */
  readonly shear: number
  /** How far the marginal ridges stand inside the contacts, mm. */
  readonly marginInsetMm: number
  /** Depth of the marginal ridges under the highest cusp, mm. */
  readonly mesialMarginMm: number
  readonly distalMarginMm: number
  /** How steeply the triangular ridges fall to the groove, mm per mm. */
  readonly flank: number
  /** How strongly a cusp's ridges to mesial and distal curve inward with the rim, 1/mm. */
  readonly bend: number
  readonly facialGrooves: readonly WallGroove[]
  readonly oralGrooves: readonly WallGroove[]
  /** Height of a single cusp's ridge down the facial wall, mm: premolars. */
  readonly facialRidgeMm: number
  /** The two cusps joined by the oblique ridge, if any. */
  readonly oblique?: readonly [number, number]
  /** Two cusps joined by a ridge right across: the transverse ridge of a lower first premolar. */
  readonly transverse?: readonly [number, number]
}

const premolar = {
  bend: 0.1,
  marginInsetMm: 1.25,
  distalTaper: 0,
  shear: 0,
  facialGrooves: [],
  oralGrooves: [],
  facialRidgeMm: 0.18,
}
const upperPremolar = {
  ...premolar,
  facialRim: 0.6,
  oralRim: 0.64,
  facialCrest: 0.3,
  oralCrest: 0.5,
  shift: 0,
}
const upperMolar = {
  ...{ facialRim: 0.56, oralRim: 0.6, facialCrest: 0.28, oralCrest: 0.45, shift: 0 },
  ...{ facialPower: 2.9, oralPower: 2.7, flank: 0.62, bend: 0.05, marginInsetMm: 0.95, facialRidgeMm: 0 },
}
const lowerMolar = {
  ...{ facialRim: 0.46, oralRim: 0.68, facialCrest: 0.26, oralCrest: 0.5, shift: -0.1, shear: 0 },
  ...{ facialPower: 2.8, oralPower: 2.9, flank: 0.62, bend: 0.05, marginInsetMm: 0.95, facialRidgeMm: 0 },
}

const upperFour: readonly Cusp[] = [
  [0.5, 0.86, 0.15],
  [-0.5, 0.84, 0.45],
  [0.42, -0.84, 0],
  [-0.62, -0.84, 0.8],
]
const lowerFour: readonly Cusp[] = [
  [0.5, 0.84, 0.3],
  [-0.5, 0.84, 0.4],
  [0.5, -0.86, 0],
  [-0.5, -0.86, 0.15],
]

/** Upper places 4 to 8. Shapes as the anatomy books describe them (Nelson and Ash, from memory); the numbers are own choice. */
export const UPPER_POSTERIOR: readonly PosteriorTraits[] = [
  {
    ...{ ...upperPremolar, facialPower: 2.4, oralPower: 2.1, taper: 0.12, flank: 0.72 },
    ...{ mesialMarginMm: 2.1, distalMarginMm: 1.9 },
    cusps: [
      [-0.06, 0.88, 0],
      [0.14, -0.88, 1],
    ],
  },
  {
    ...{ ...upperPremolar, facialPower: 2.35, oralPower: 2.2, taper: 0.04, flank: 0.72 },
    ...{ mesialMarginMm: 1.8, distalMarginMm: 1.7 },
    cusps: [
      [0.04, 0.86, 0],
      [0.1, -0.88, 0.2],
    ],
  },
  {
    ...{ ...upperMolar, taper: -0.01, distalTaper: 0.03, shear: 0.14, oblique: [2, 1] },
    ...{ mesialMarginMm: 1.6, distalMarginMm: 1.9, cusps: upperFour },
    facialGrooves: [[0, 0.4]],
    oralGrooves: [[-0.3, 0.45]],
  },
  {
    ...{ ...upperMolar, taper: 0.06, distalTaper: 0.06, shear: 0.16, oblique: [2, 1] },
    ...{ mesialMarginMm: 1.5, distalMarginMm: 1.8, cusps: upperFour },
    facialGrooves: [[0, 0.35]],
    oralGrooves: [[-0.35, 0.35]],
  },
  {
    ...{ ...upperMolar, facialPower: 2.5, oralPower: 2.3, taper: 0.12, distalTaper: 0.1, shear: 0.12 },
    ...{ mesialMarginMm: 1.4, distalMarginMm: 1.7, oblique: [2, 1] },
    cusps: [
      [0.48, 0.84, 0.1],
      [-0.48, 0.8, 0.5],
      [0.35, -0.84, 0],
      [-0.62, -0.72, 1.1],
    ],
    facialGrooves: [[0, 0.25]],
    oralGrooves: [[-0.4, 0.2]],
  },
]

/** Lower places 4 to 8. */
export const LOWER_POSTERIOR: readonly PosteriorTraits[] = [
  {
    ...{ ...premolar, facialRim: 0.28, oralRim: 0.84, facialCrest: 0.3, oralCrest: 0.6, shift: -0.1 },
    ...{ facialPower: 2.2, oralPower: 2, taper: 0.16, flank: 0.72, transverse: [0, 1] },
    ...{ mesialMarginMm: 2.6, distalMarginMm: 2.3, oralGrooves: [[0.5, 0.2]] },
    cusps: [
      [0.06, 0.82, 0],
      [0.1, -0.82, 1.7],
    ],
  },
  {
    ...{ ...premolar, facialRim: 0.4, oralRim: 0.78, facialCrest: 0.3, oralCrest: 0.55, shift: -0.1 },
    ...{ facialPower: 2.4, oralPower: 2.5, taper: 0, flank: 0.72 },
    ...{ mesialMarginMm: 1.9, distalMarginMm: 1.9, oralGrooves: [[-0.18, 0.25]] },
    cusps: [
      [0.06, 0.86, 0],
      [0.32, -0.86, 0.7],
      [-0.52, -0.84, 1.0],
    ],
  },
  {
    ...{ ...lowerMolar, taper: 0.05, distalTaper: 0.05, mesialMarginMm: 1.6, distalMarginMm: 1.7 },
    cusps: [
      [0.58, 0.84, 0.3],
      [-0.1, 0.88, 0.4],
      [-0.7, 0.55, 0.9],
      [0.5, -0.86, 0],
      [-0.45, -0.86, 0.15],
    ],
    facialGrooves: [
      [0.26, 0.4],
      [-0.45, 0.3],
    ],
    oralGrooves: [[0.02, 0.3]],
  },
  {
    ...{ ...lowerMolar, taper: 0.04, distalTaper: 0.03, mesialMarginMm: 1.5, distalMarginMm: 1.6 },
    ...{ cusps: lowerFour, facialGrooves: [[0, 0.35]], oralGrooves: [[0, 0.28]] },
  },
  {
    ...{ ...lowerMolar, facialPower: 2.5, oralPower: 2.5, taper: 0.06, distalTaper: 0.06 },
    ...{ mesialMarginMm: 1.4, distalMarginMm: 1.5, cusps: lowerFour },
    ...{ facialGrooves: [[0, 0.25]], oralGrooves: [[0, 0.2]] },
  },
]
