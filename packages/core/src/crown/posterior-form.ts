import type { CrownForm } from './crown-form.js'
import { corner, halves, side } from './crown-form.js'
import { isUpper, placeInQuadrant } from './tooth.js'
import { toothDimensions } from './tooth-dimensions.js'

/** A cusp tip as shares of the occlusal table's half lengths (mesial, facial) and how far it stays below the highest, mm. */
type Cusp = readonly [mesial: number, facial: number, lowerMm: number]

/** What tells one back tooth from another. Shares unless a name says mm. */
interface Traits {
  readonly cusps: readonly Cusp[]
  /** Distance of the facial and oral rim of the table from the axis, as a share of half the crown's width. */
  readonly facialRim: number
  readonly oralRim: number
  readonly facialCrest: number
  readonly oralCrest: number
  /** How far the crown as a whole stands facially of the root, mm. */
  readonly shift: number
  readonly power: number
  readonly taper: number
  readonly shear: number
  /** Depth of the marginal ridges under the highest cusp, mm. */
  readonly marginMm: number
  /** The two cusps joined by the oblique ridge, if any. */
  readonly oblique?: readonly [number, number]
}

const upperPremolar = { facialRim: 0.6, oralRim: 0.66, facialCrest: 0.3, oralCrest: 0.5, shift: 0 }
const upperMolar = { facialRim: 0.56, oralRim: 0.6, facialCrest: 0.28, oralCrest: 0.45, shift: 0, power: 2.9 }
const lowerMolar = {
  facialRim: 0.46,
  oralRim: 0.68,
  facialCrest: 0.26,
  oralCrest: 0.5,
  shift: -0.1,
  power: 3,
}
const first: readonly Cusp[] = [
  [0.55, 0.9, 0],
  [-0.5, 0.88, 0.3],
  [0.42, -0.85, 0],
  [-0.62, -0.88, 0.7],
]
const lowerFour: readonly Cusp[] = [
  [0.52, 0.9, 0.2],
  [-0.5, 0.9, 0.3],
  [0.52, -0.9, 0],
  [-0.5, -0.9, 0.1],
]

/** Upper places 4 to 8. */
const UPPER: readonly Traits[] = [
  {
    ...{ ...upperPremolar, power: 2.4, taper: 0.1, shear: 0, marginMm: 2 },
    cusps: [
      [-0.05, 0.92, 0],
      [0.12, -0.92, 0.9],
    ],
  },
  {
    ...{ ...upperPremolar, power: 2.35, taper: 0.03, shear: 0, marginMm: 1.7 },
    cusps: [
      [0.05, 0.9, 0],
      [0.1, -0.9, 0.2],
    ],
  },
  { ...upperMolar, taper: -0.02, shear: 0.14, marginMm: 1.7, cusps: first, oblique: [2, 1] },
  { ...upperMolar, taper: 0.05, shear: 0.16, marginMm: 1.6, cusps: first, oblique: [2, 1] },
  {
    ...upperMolar,
    power: 2.5,
    taper: 0.1,
    shear: 0.12,
    marginMm: 1.4,
    cusps: first,
    oblique: [2, 1],
  },
]

/** Lower places 4 to 8. */
const LOWER: readonly Traits[] = [
  {
    ...{ facialRim: 0.25, oralRim: 0.85, facialCrest: 0.3, oralCrest: 0.62, shift: -0.1, power: 2.2 },
    ...{ taper: 0.14, shear: 0, marginMm: 2.4 },
    cusps: [
      [0.05, 0.75, 0],
      [0.1, -0.9, 1.9],
    ],
  },
  {
    ...{ facialRim: 0.4, oralRim: 0.78, facialCrest: 0.3, oralCrest: 0.55, shift: -0.1, power: 2.5 },
    ...{ taper: 0.02, shear: 0, marginMm: 1.9 },
    cusps: [
      [0.05, 0.85, 0],
      [0.2, -0.9, 0.7],
    ],
  },
  {
    ...{ ...lowerMolar, taper: 0.05, shear: 0, marginMm: 1.6 },
    cusps: [
      [0.58, 0.9, 0.2],
      [-0.12, 0.95, 0.3],
      [-0.72, 0.62, 0.8],
      [0.5, -0.9, 0],
      [-0.45, -0.9, 0.1],
    ],
  },
  { ...lowerMolar, taper: 0.05, shear: 0, marginMm: 1.5, cusps: lowerFour },
  { ...lowerMolar, power: 2.6, taper: 0.06, shear: 0, marginMm: 1.4, cusps: lowerFour },
]

/** Cusp flanks fall by about 30 degrees towards the central groove; mesiodistally less, along the cusp ridges. */
const FLANK = 0.75
const RIDGE = 0.6
const TIP_RADIUS_MM = 0.55
/** How far the marginal ridge stands inside the contact, mm. */
const MARGIN_INSET_MM = 0.9
/** Length of the central groove as a share of the occlusal table's. */
const GROOVE_SHARE = 0.72
/** Contacts as a share of the height. */
const MESIAL_CONTACT = 0.72
const DISTAL_CONTACT = 0.68

/** The crown form of a premolar or molar: cusps, marginal ridges, a central groove. */
export function posteriorForm(tooth: string): CrownForm {
  const size = toothDimensions(tooth)
  const traits = (isUpper(tooth) ? UPPER : LOWER)[placeInQuadrant(tooth) - 4]
  const { md, mdCervical, ll, llCervical } = halves(size)
  const facialRim = ll * traits.facialRim
  const oralRim = ll * traits.oralRim
  const rimMd = md - MARGIN_INSET_MM
  return {
    facial: side(llCervical, ll + traits.shift, traits.facialCrest, facialRim, shoulder),
    oral: side(llCervical, ll - traits.shift, traits.oralCrest, oralRim, shoulder),
    mesial: side(mdCervical, md, MESIAL_CONTACT, rimMd, corner),
    distal: side(mdCervical, md, DISTAL_CONTACT, rimMd, corner),
    crests: [traits.facialCrest, traits.oralCrest, MESIAL_CONTACT, DISTAL_CONTACT],
    facialPower: (t) => 2.1 + (traits.power - 2.1) * rampUp(t),
    oralPower: (t) => 2.1 + (traits.power - 2.1) * rampUp(t),
    taper: traits.taper,
    shear: traits.shear,
    oralRidge: () => 0,
    ridgeX: bowed(grooveX(traits, facialRim, oralRim), (facialRim - oralRim) / 2, GROOVE_SHARE * rimMd),
    ridgeShare: () => GROOVE_SHARE,
    depth: occlusalDepth(traits, rimMd, facialRim, oralRim),
  }
}

/** A groove off the middle bends back to it at its two ends, where the marginal ridges close the table. */
const bowed =
  (grooveX: number, middle: number, reach: number) =>
  (y: number): number =>
    middle + (grooveX - middle) * Math.max(0, 1 - (y / reach) ** 2) ** 2

/** Where the flanks of the first facial and the first oral cusp meet. */
function grooveX(traits: Traits, facialRim: number, oralRim: number): number {
  const half = (facialRim + oralRim) / 2
  const facial = traits.cusps.find(([, v]) => v > 0) ?? [0, 1, 0]
  const oral = traits.cusps.find(([, v]) => v < 0) ?? [0, -1, 0]
  const between = (facial[1] + oral[1]) / 2
  return (facialRim - oralRim) / 2 + between * half - (oral[2] - facial[2]) / (2 * FLANK)
}

/** A convex wall that bends over at the top, so that the cusps are not edges. */
const shoulder = (s: number): number => 0.82 * s ** 2 + 0.18 * corner(s)

const rampUp = (t: number): number => Math.min(1, t / 0.35)

function occlusalDepth(traits: Traits, rimMd: number, facialRim: number, oralRim: number) {
  const middle = (facialRim - oralRim) / 2
  const half = (facialRim + oralRim) / 2
  const tips = traits.cusps.map(([u, v, lower]) => ({ x: middle + v * half, y: u * rimMd, lower }))
  const oblique = traits.oblique?.map((i) => tips[i])
  return (x: number, y: number): number => {
    const depths = tips.map((tip) => tip.lower + rounded(FLANK * (x - tip.x), RIDGE * (y - tip.y)))
    const margin = (end: number) => traits.marginMm + rounded(0.12 * (x - middle), 0.8 * (y - end))
    depths.push(margin(rimMd), margin(-rimMd))
    if (oblique) {
      const [a, b] = oblique
      const k = Math.min(1, Math.max(0, ((x - a.x) * (b.x - a.x) + (y - a.y) * (b.y - a.y)) / span(a, b)))
      const off = rounded(FLANK * (x - a.x - k * (b.x - a.x)), FLANK * (y - a.y - k * (b.y - a.y)))
      depths.push(a.lower + k * (b.lower - a.lower) + 1.1 * Math.sin(Math.PI * k) + off)
    }
    return softMinimum(depths, 0.22)
  }
}

const span = (a: { x: number; y: number }, b: { x: number; y: number }): number =>
  (b.x - a.x) ** 2 + (b.y - a.y) ** 2

const rounded = (a: number, b: number): number =>
  Math.sqrt(a * a + b * b + TIP_RADIUS_MM ** 2 / 4) - TIP_RADIUS_MM / 2

/** Rounds the grooves where two flanks meet over about `width` mm. */
function softMinimum(values: readonly number[], width: number): number {
  const least = Math.min(...values)
  return least - width * Math.log(values.reduce((sum, v) => sum + Math.exp((least - v) / width), 0))
}
