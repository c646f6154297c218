import type { CrownForm, HalfWidths } from './crown-form.js'
import { bulge, corner, hump, smooth } from './crown-form.js'
import { grooveLine, occlusalDepth } from './cusps.js'
import type { PosteriorTraits, WallGroove } from './posterior-traits.js'

/** Length of the central groove as a share of the occlusal table's. */
const GROOVE_SHARE = 0.72
/** Contacts as a share of the height: at the junction of the middle and the occlusal third, the distal one lower. */
const MESIAL_CONTACT = 0.7
const DISTAL_CONTACT = 0.64
/** The rim is rounded this often: see `loft`. */
const ROUNDINGS = 14
/** The neck is an ellipse and has the crown's own outline from here up. */
const OUTLINED_T = 0.35

/** The crown form of a premolar or molar: bulging walls, cusps, marginal ridges, a central groove. */
export function posteriorForm(
  traits: PosteriorTraits,
  { md, mdCervical, ll, llCervical }: HalfWidths,
): CrownForm {
  const facialRim = ll * traits.facialRim
  const oralRim = ll * traits.oralRim
  const rimMd = md - traits.marginInsetMm
  const facial = wall({ neck: llCervical, crest: ll + traits.shift, at: traits.facialCrest, rim: facialRim })
  const oral = wall({ neck: llCervical, crest: ll - traits.shift, at: traits.oralCrest, rim: oralRim })
  const mesial = proximal({ neck: mdCervical, crest: md, at: MESIAL_CONTACT, rim: rimMd })
  const distal = proximal({ neck: mdCervical, crest: md, at: DISTAL_CONTACT, rim: rimMd })
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

/** One side of the crown over t: its distance at the neck, at the height of contour `at`, and at the rim, mm. */
interface Side {
  readonly neck: number
  readonly crest: number
  readonly at: number
  readonly rim: number
}

const side =
  ({ neck, crest, at, rim }: Side, neckSlope: number, fall: (s: number) => number) =>
  (t: number): number =>
    t <= at
      ? neck + (crest - neck) * bulge(t / at, neckSlope)
      : crest - (crest - rim) * fall((t - at) / (1 - at))

/** A facial or oral wall: it bulges over the neck and bends over at the top, so that the cusps are not edges. */
const wall = (of: Side) => side(of, 1.4, (s) => 0.85 * s ** 1.65 + 0.15 * corner(s))

/** A mesial or distal wall: nearly straight up to the contact, then rounded over into the marginal ridge. */
const proximal = (of: Side) => side(of, 1, corner)

const tidy = (v: number): number => (Math.abs(v) < 1e-12 ? 0 : v)
