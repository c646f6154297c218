import {
  along,
  dot,
  invert,
  type Mat4,
  normalize,
  scale,
  subtract,
  transformDirection,
  transformPoint,
  type Vec3,
} from '../space/index.js'
import type { Crown } from './crown.js'
import type { Emergence, EmergenceProfile } from './emergence-result.js'
import type { Site } from './site.js'
import { plusYSide } from './tooth.js'

export interface EmergenceQuestion {
  readonly crown: Crown
  /** Crown frame to LPS mm, without scale or mirror. */
  readonly pose: Mat4
  /** Platform centre, LPS mm; direction towards the apex; radius at the platform, mm. */
  readonly fixture: { readonly platform: Vec3; readonly apical: Vec3; readonly radiusMm: number }
  readonly site: Pick<Site, 'neighbours'>
}

/**
 * How deep and how far facially the platform lies under the planned crown, and how steeply the restoration widens from
 * the platform's rim to the crown's cervical margin in eight directions round the crown's long axis.
 *
 * The rim's point of a direction is the one in that direction from the platform's centre, the margin's point the one
 * in that direction from the crown's long axis. Lengths in mm, angles in degrees, places in LPS mm.
 * @throws RangeError when the fixture's axis has no length or the pose cannot be inverted.
 */
export function emergence({ crown, pose, fixture, site }: EmergenceQuestion): Emergence {
  const toCrown = invert(pose)
  const platform = transformPoint(toCrown, fixture.platform)
  const apical = normalize(transformDirection(toCrown, fixture.apical))
  const profile = sides(crown.tooth).map((side, n) => {
    const margin = marginAt(crown.cejCurve, DIRECTIONS[n])
    const { rim, emergenceDeg } = emergenceAt(platform, apical, fixture.radiusMm, DIRECTIONS[n], margin)
    return { n, side, rim, margin, emergenceDeg }
  })
  const below = (cej: Vec3 | undefined): number | null =>
    cej === undefined ? null : platform[2] - transformPoint(toCrown, cej)[2]
  const facial = profile[0]
  return {
    zenith: transformPoint(pose, crown.landmarks.zenith),
    belowMarginMm: platform[2] - crown.landmarks.zenith[2],
    belowMesialCejMm: below(site.neighbours?.mesial?.cej),
    belowDistalCejMm: below(site.neighbours?.distal?.cej),
    crownHeightMm: platform[2] + crown.lengthMm,
    profile: profile.map(({ n, side, rim, margin, emergenceDeg }) => ({
      angleDeg: 45 * n,
      side,
      emergenceDeg,
      rim: transformPoint(pose, rim),
      margin: transformPoint(pose, margin),
    })),
    rimOralOfEmergenceMm: facial.margin[0] - facial.rim[0],
  }
}

/** How the restoration widens in one direction, in the crown frame; `apical` is a unit vector. */
export function emergenceAt(
  platform: Vec3,
  apical: Vec3,
  radiusMm: number,
  direction: Vec3,
  margin: Vec3,
): { readonly rim: Vec3; readonly emergenceDeg: number } {
  const outward = inPlatform(direction, apical)
  const rim = along(platform, outward, radiusMm)
  const line = subtract(margin, rim)
  return { rim, emergenceDeg: degrees(Math.atan2(dot(line, outward), -dot(line, apical))) }
}

/** The cervical margin in each of the eight directions, facial first. */
export const emergenceMargins = (crown: Crown): { readonly direction: Vec3; readonly margin: Vec3 }[] =>
  DIRECTIONS.map((direction) => ({ direction, margin: marginAt(crown.cejCurve, direction) }))

type Side = EmergenceProfile['side']

const MESIAL_FIRST: readonly Side[] = [
  'facial',
  'mesiofacial',
  'mesial',
  'mesio-oral',
  'oral',
  'disto-oral',
  'distal',
  'distofacial',
]

/** The names of the eight directions from facial towards +y. */
const sides = (tooth: string): readonly Side[] =>
  plusYSide(tooth) === 'mesial' ? MESIAL_FIRST : [MESIAL_FIRST[0], ...MESIAL_FIRST.slice(1).reverse()]

const degrees = (radians: number): number => (radians * 180) / Math.PI

const tidy = (v: number): number => (Math.abs(v) < 1e-12 ? 0 : v)

/** From facial towards +y, 45 degrees apart. */
const DIRECTIONS = Array.from({ length: 8 }, (_, n): Vec3 => {
  const angle = (n * Math.PI) / 4
  return [tidy(Math.cos(angle)), tidy(Math.sin(angle)), 0]
})

/**
 * The unit vector of the platform's plane that, looking along the crown's long axis, points in a direction: the one
 * plane of the two that holds the direction and the long axis cuts the platform's along it.
 */
function inPlatform(direction: Vec3, apical: Vec3): Vec3 {
  const upright = apical[2] < 0 ? -1 : 1
  const across = along(scale(direction, upright * apical[2]), [0, 0, 1], -upright * dot(direction, apical))
  // Both parts vanish where the axis is at right angles to the direction and to the long axis: it is in the plane.
  return dot(across, across) < 1e-18 ? direction : normalize(across)
}

/** Where the cervical margin crosses the half plane of a direction, outermost; its furthest point that way where it does not. */
function marginAt(curve: readonly Vec3[], direction: Vec3): Vec3 {
  const [ux, uy] = direction
  const out = ([x, y]: Vec3): number => x * ux + y * uy
  const aside = ([x, y]: Vec3): number => y * ux - x * uy
  let best: Vec3 | null = null
  let before = curve[curve.length - 1]
  for (const point of curve) {
    const [s0, s1] = [aside(before), aside(point)]
    if (s0 !== s1 && s0 * s1 <= 0) {
      const crossing = along(before, subtract(point, before), s0 / (s0 - s1))
      if (out(crossing) > 0 && (best === null || out(crossing) > out(best))) best = crossing
    }
    before = point
  }
  return best ?? curve.reduce((a, b) => (out(b) > out(a) ? b : a))
}
