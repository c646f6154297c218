import type { CrownForm, HalfWidths } from './crown-form.js'
import { bulge, corner, hump, smooth } from './crown-form.js'
import { grooveLine, occlusalDepth } from './cusps.js'
import type { PosteriorTraits, WallGroove } from './posterior-traits.js'

/** How far the marginal ridge stands inside the contact, mm. */
const MARGIN_INSET_MM = 0.9
/** Length of the central groove as a share of the occlusal table's. */
const GROOVE_SHARE = 0.72
/** Contacts as a share of the height: at the junction of the middle and the occlusal third, the distal one lower. */
const MESIAL_CONTACT = 0.7
const DISTAL_CONTACT = 0.64
/** The rim is rounded this often: see `loft`. */
const ROUNDINGS = 14
const NECK_SLOPE = 1.4
/** The neck is an ellipse and has the crown's own outline from here up. */
const OUTLINED_T = 0.35

/** The crown form of a premolar or molar: bulging walls, cusps, marginal ridges, a central groove. */
export function posteriorForm(
  traits: PosteriorTraits,
  { md, mdCervical, ll, llCervical }: HalfWidths,
): CrownForm {
  const facialRim = ll * traits.facialRim
  const oralRim = ll * traits.oralRim
  const rimMd = md - MARGIN_INSET_MM
  const side =
    (neck: number, crest: number, crestT: number, end: number, fall: (s: number) => number) => (t: number) =>
      t <= crestT
        ? neck + (crest - neck) * bulge(t / crestT, NECK_SLOPE)
        : crest - (crest - end) * fall((t - crestT) / (1 - crestT))
  const facial = side(llCervical, ll + traits.shift, traits.facialCrest, facialRim, shoulder)
  const oral = side(llCervical, ll - traits.shift, traits.oralCrest, oralRim, shoulder)
  const mesial = side(mdCervical, md, MESIAL_CONTACT, rimMd, corner)
  const distal = side(mdCervical, md, DISTAL_CONTACT, rimMd, corner)
  const table = { rimMd, facialRim, oralRim }
  const depth = occlusalDepth(traits, table)
  return {
    section: (t, angles) => {
      const middle = (facial(t) - oral(t)) / 2
      const half = (facial(t) + oral(t)) / 2
      const outline = unitOutline(traits, smooth(0, OUTLINED_T, t), angles)
      const far = Math.max(...outline.map((p) => p[1]))
      const near = -Math.min(...outline.map((p) => p[1]))
      return outline.map(([u, w]) => {
        const v = w > 0 ? w / far : w / near
        return [middle + half * u + wallRelief(traits, t, u, v), v * (v > 0 ? mesial(t) : distal(t))]
      })
    },
    crests: [traits.facialCrest, traits.oralCrest, MESIAL_CONTACT, DISTAL_CONTACT],
    roundings: ROUNDINGS,
    ridgeX: grooveLine(depth, table, GROOVE_SHARE * rimMd),
    ridgeShare: () => GROOVE_SHARE,
    depth,
  }
}

/** The outline of a section, facial and mesial from about -1 to 1. `full`: 0 an ellipse, 1 the crown's own outline. */
function unitOutline(traits: PosteriorTraits, full: number, angles: readonly number[]) {
  return angles.map((angle): readonly [number, number] => {
    const c = tidy(Math.cos(angle))
    const s = tidy(Math.sin(angle))
    const power = 2 + ((s >= 0 ? traits.facialPower : traits.oralPower) - 2) * full
    const out = (Math.abs(c) ** power + Math.abs(s) ** power) ** (-1 / power)
    const narrowed = s * out * (1 + full * traits.distalTaper * c)
    return [narrowed, (c * (1 + full * traits.taper * s) + full * traits.shear * s) * out]
  })
}

/** Grooves between cusps sink into the wall, the ridge of a single cusp stands out of it, mm along x. */
function wallRelief(traits: PosteriorTraits, t: number, u: number, v: number): number {
  const sum = (grooves: readonly WallGroove[]) =>
    grooves.reduce((all, [at, mm]) => all + mm * hump(v, at, 0.14), 0)
  const up = smooth(0.3, 0.85, t)
  const facing = smooth(0.3, 0.8, Math.abs(u))
  if (u > 0)
    return (
      facing * (traits.facialRidgeMm * hump(v, 0, 0.3) * smooth(0.3, 0.8, t) - up * sum(traits.facialGrooves))
    )
  return facing * up * sum(traits.oralGrooves)
}

/** A convex wall that bends over at the top, so that the cusps are not edges. */
const shoulder = (s: number): number => 0.8 * s ** 2 + 0.2 * corner(s)

const tidy = (v: number): number => (Math.abs(v) < 1e-12 ? 0 : v)
