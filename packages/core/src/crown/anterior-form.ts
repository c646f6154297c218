import type { AnteriorTraits } from './anterior-traits.js'
import type { CrownForm, HalfWidths } from './crown-form.js'
import { bulge, corner, hump, smooth, through } from './crown-form.js'

/** How high the edge is rounded over, and how far its line stops short of the corners, mm. */
const EDGE_ROUNDING_MM = 0.35
const EDGE_INSET_MM = 0.4

/** The rim is rounded this often: see `loft`. */
const ROUNDINGS = 5

/** The proximal outline leaves the neck a little steeper than a straight line to the contact would. */
const NECK_SLOPE = 1.45

/** How far facial of the middle the mesial and distal faces are widest, as a share of half the thickness. */
const CONTACT_FACIAL = 0.18

/** The crown form of an incisor or canine: labial convexity, cingulum, fossa between marginal ridges, a thin edge. */
export function anteriorForm(
  traits: AnteriorTraits,
  { md, mdCervical, ll, llCervical }: HalfWidths,
): CrownForm {
  const half = traits.edgeThickness / 2
  const facial = facialProfile(traits, ll, llCervical)
  const oral = oralProfile(traits, ll, llCervical)
  const side = (contact: number, reach: number) => (t: number) =>
    t <= contact
      ? mdCervical + (md - mdCervical) * bulge(t / contact, NECK_SLOPE)
      : md - (md - reach) * corner((t - contact) / (1 - contact))
  const mesialReach = md - traits.mesialCorner
  const distalReach = md - traits.distalCorner
  const mesial = side(traits.mesialContact, mesialReach)
  const distal = side(traits.distalContact, distalReach)
  return {
    section: (t, angles) => {
      const front = facial(t)
      const back = oral(t)
      const [m, d] = [mesial(t), distal(t)]
      const widest = (front - back) / 2 + CONTACT_FACIAL * Math.sin(Math.PI * t) * ((front + back) / 2)
      const boxy = 2 + (traits.facialPower - 2) * smooth(0, 0.4, t)
      const pointed = 2 - (2 - traits.oralPower) * smooth(0, 0.3, t) * (1 - smooth(0.8, 1, t))
      return angles.map((angle) => {
        const c = tidy(Math.cos(angle))
        const s = tidy(Math.sin(angle))
        const v = s > 0 ? Math.sign(c) * Math.abs(c) ** (2 / boxy) : c
        const y = v * (v > 0 ? m : d)
        if (s >= 0) return [widest + (front - widest) * s + facialRelief(traits, t, v), y]
        const inward = Math.abs(s) ** (2 / pointed)
        return [widest - (back + widest) * inward - oralRelief(traits, t, v), y]
      })
    },
    crests: [traits.facialCrest, traits.cingulum, traits.mesialContact, traits.distalContact],
    roundings: ROUNDINGS,
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

/** The facial outline seen from mesial: convex, with its height of contour in the cervical third. */
function facialProfile(traits: AnteriorTraits, ll: number, llCervical: number) {
  const { facialCrest, edgeX, edgeThickness, labialFullness } = traits
  const end = edgeX + edgeThickness / 2
  return through([
    [0, llCervical],
    [facialCrest, ll],
    [(facialCrest + 1) / 2, (ll + end) / 2 + labialFullness],
    [1, end],
  ])
}

/** The oral outline seen from mesial, as a distance: the cingulum, then hollow up to the edge. */
function oralProfile(traits: AnteriorTraits, ll: number, llCervical: number) {
  const { cingulum, edgeX, edgeThickness, hollow } = traits
  const end = edgeThickness / 2 - edgeX
  const at = (s: number, sunk: number) => [cingulum + s * (1 - cingulum), ll + s * (end - ll) - sunk] as const
  return through([[0, llCervical], [cingulum, ll], at(1 / 3, hollow[0]), at(2 / 3, hollow[1]), [1, end]])
}

/** What the facial lobes, or a canine's ridge, stand out, mm. `v`: from -1 distal to 1 mesial. */
function facialRelief({ lobes, facialRidge }: AnteriorTraits, t: number, v: number): number {
  const grooves = hump(v, 0.32, 0.15) + hump(v, -0.32, 0.15)
  return (
    -lobes * grooves * smooth(0.35, 0.85, t) +
    facialRidge * hump(v, 0.05, 0.28) * smooth(0.2, 0.6, t) * (1 - smooth(0.8, 1, t))
  )
}

/** What the marginal ridges and the middle ridge of the oral face stand out and the fossa sinks in, mm. */
function oralRelief({ ridges, fossa, oralRidge }: AnteriorTraits, t: number, v: number): number {
  // The marginal ridges come out of the cingulum and part towards the corners.
  const apart = 0.42 + 0.38 * smooth(0.2, 0.75, t)
  const margins = hump(Math.abs(v), apart, 0.2) * smooth(0.18, 0.5, t) * (1 - smooth(0.82, 1, t))
  const pit = hump(v, 0, 0.75 * apart) * smooth(0.25, 0.5, t) * (1 - smooth(0.6, 0.95, t))
  const middle = hump(v, 0.02, 0.2) * smooth(0.2, 0.4, t) * (1 - smooth(0.7, 1, t))
  return ridges * margins - fossa * pit + oralRidge * middle
}

const tidy = (v: number): number => (Math.abs(v) < 1e-12 ? 0 : v)

/** |s|, rounded off over the tip. */
const slope = (s: number): number => Math.sqrt(s * s + 0.03) - Math.sqrt(0.03)
