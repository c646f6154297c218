import { radiusAtMm } from '../fixture/index.js'
import { cross, dot, normalize, perpendicularTo, subtract, type Vec3 } from '../space/index.js'
import { boneRows } from './bone-rows.js'
import { boneUnder, FAR_MM } from './bone-under.js'
import { baseOf, FIELD_ANGLES, fieldDepths, fieldOf } from './field-of.js'
import type { GraftQuestion } from './graft-question.js'
import type { GraftField } from './graft-result.js'
import type { FreeGraft } from './graft-spec.js'
import { surfaceNormals } from './surface-normals.js'

/** A free graft thins out over so much at its borders. */
export const TAPER_MM = 1
/** How much farther than it is thick a layer may reach along a ray before data must not end: rays within 48 degrees. */
const SLANT = 1.5
/** Rays that graze the surface more than this cannot carry a layer across it. */
const LEAST_COSINE = 0.2

/** The layer's own directions in the fixture frame: the middle, along coronal, along mesiodistal, facial. */
interface Placed {
  readonly at: Vec3
  readonly up: Vec3
  readonly aside: Vec3
  readonly facial: Vec3
}

/**
 * A layer of even thickness, measured across the surface, over a height and a width round a place on the facial side. On a
 * flat face its volume is t (h - 1 mm) (w - 1 mm): the borders thin out over 1 mm.
 */
export function freeField(
  { margin, frame, profile, site }: Omit<GraftQuestion, 'spec'>,
  spec: FreeGraft,
): GraftField | null {
  const { thicknessMm, heightMm, widthMm } = spec
  if (!(thicknessMm > 0 && heightMm > 0 && widthMm > 0)) return null
  const local = (v: Vec3): Vec3 => [dot(v, frame.x), dot(v, frame.y), dot(v, frame.z)]
  const coronal = normalize(site.coronal)
  const facial = perpendicularTo(site.facial, coronal)
  const placed: Placed = {
    at: local(subtract(spec.at, frame.origin)),
    up: local(coronal),
    aside: local(cross(coronal, facial)),
    facial: local(facial),
  }
  const half =
    Math.abs(placed.up[2]) * (heightMm / 2) + Math.abs(placed.aside[2]) * (widthMm / 2) + thicknessMm
  const { depthsMm, stepMm } = fieldDepths(placed.at[2] - half, placed.at[2] + half)
  const rows = boneRows(
    margin,
    frame,
    profile,
    placed.at[2] - half,
    placed.at[2] + half,
    stepMm,
    (depthMm, angleDeg, boneMm) => {
      const facing = Math.cos((angleDeg * Math.PI) / 180) > LEAST_COSINE / 2
      return facing ? Math.max(boneMm, radiusAtMm(profile, depthMm)) + SLANT * thicknessMm : 0
    },
  )
  const under = boneUnder(rows, margin.grid.anglesDeg, depthsMm, FIELD_ANGLES)
  const base = baseOf(under, profile, depthsMm)
  const normals = surfaceNormals(base, depthsMm, FIELD_ANGLES)
  const columns = FIELD_ANGLES.length
  let openNodes = 0
  const built = base.map((baseMm, n) => {
    const depthMm = depthsMm[Math.floor(n / columns)]
    const beside = depthMm < 0 || depthMm > profile.lengthMm
    if (beside && under.exitMm[n] === 0) return Number.NaN
    if (baseMm >= FAR_MM - 1e-9) return -thicknessMm
    const normal: Vec3 = [normals[3 * n], normals[3 * n + 1], normals[3 * n + 2]]
    const turn = (FIELD_ANGLES[n % columns] * Math.PI) / 180
    const gap = layerOnRay(spec, placed, normal, baseMm, depthMm, Math.cos(turn), Math.sin(turn))
    if (under.free[n] === 1) return Math.min(gap, under.ceilingMm[n] - baseMm)
    if (under.open[n] === 1 && gap > 0) openNodes++
    return Number.NaN
  })
  const openRays = Math.round((openNodes * margin.grid.anglesDeg.length) / columns)
  return fieldOf(profile, depthsMm, under, base, built, spec.loss, { openRays, cappedMm: 0 })
}

const STEPS = 24
const HALVINGS = 20

/** How far a ray runs in the layer, mm; negative beside it. The surface is taken as flat where the ray meets it. */
function layerOnRay(
  { thicknessMm, heightMm, widthMm }: FreeGraft,
  { at, up, aside, facial }: Placed,
  normal: Vec3,
  baseMm: number,
  depthMm: number,
  cosine: number,
  sine: number,
): number {
  const steep = cosine * normal[0] + sine * normal[1]
  if (steep < LEAST_COSINE || dot(normal, facial) < LEAST_COSINE) return -thicknessMm
  const [tallMm, wideMm] = [Math.min(TAPER_MM, heightMm / 2), Math.min(TAPER_MM, widthMm / 2)]
  /** Height of the layer above a place on the ray's foot, less that place's own height, mm. */
  const over = (mm: number): number => {
    const heightOver = (mm - baseMm) * steep
    const foot: Vec3 = [
      mm * cosine - heightOver * normal[0] - at[0],
      mm * sine - heightOver * normal[1] - at[1],
      depthMm - heightOver * normal[2] - at[2],
    ]
    const tall = Math.min(1, (heightMm / 2 - Math.abs(dot(foot, up))) / tallMm)
    const wide = Math.min(1, (widthMm / 2 - Math.abs(dot(foot, aside))) / wideMm)
    const share = tall > 0 && wide > 0 ? tall * wide : Math.max(-1, Math.min(tall, wide))
    return thicknessMm * share - heightOver
  }
  const fullMm = thicknessMm / steep
  let beyond = baseMm + fullMm
  let within = Number.NaN
  for (let n = STEPS - 1; n >= 0; n--) {
    const mm = baseMm + (fullMm * n) / STEPS
    if (over(mm) > 0) {
      within = mm
      break
    }
    beyond = mm
  }
  if (Number.isNaN(within)) return over(baseMm) / steep
  for (let n = 0; n < HALVINGS; n++) {
    const middle = (within + beyond) / 2
    if (over(middle) > 0) within = middle
    else beyond = middle
  }
  return within - baseMm
}
