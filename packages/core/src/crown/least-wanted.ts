import type { Axis } from '../space/mesh-tree-axis.js'
import { type BendPlace, bentDirection, exitAlong, isWanted } from './channel-bend.js'
import type { Bent } from './channel-search.js'
import { type Aside, directionAside, nearestAside } from './wanted-nearest.js'
import { cornersInSight } from './wanted-outlines.js'
import { type WantedZone, wantedZone } from './wanted-zone.js'

/** No channel bends further, degrees. */
export const GREATEST_BEND_DEG = 60

/** No bend at all: the channel runs on from the platform. */
export const STRAIGHT: Bent = { bendDeg: 0, azimuthDeg: 0 }

/**
 * The least bend with an exit where it is wanted, none where the straight exit is: to the place of the wanted zone that
 * is nearest in angle to the axis, or, where the crown hides that from the bend, to the nearest that it does not hide.
 * Null when none up to 60 degrees does.
 */
export function leastWanted(place: BendPlace): Bent | null {
  const { origin, direction } = place.straight
  if (isWanted(place, exitAlong(place, origin, direction))) return STRAIGHT
  const axis = { ...place.straight, origin: place.pivot }
  const zone = wantedZone(place.surface, place.limits)
  const nearest = nearestAside(zone, axis, GREATEST_BEND_DEG)
  if (nearest === null) return null
  const { middle } = nearest
  const inwards = { u: middle.u - nearest.u, v: middle.v - nearest.v }
  for (const inside of INSIDE_RAD) {
    const aside = beside(nearest, inwards, inside)
    if (isWanted(place, exitAside(place, axis, aside))) return bentTo(aside)
  }
  return leastInSight(place, axis, zone, bentTo(nearest).bendDeg)
}

/** How far inside the zone's border an exit is held to be wanted, radians: above rounding. Larger ones where parts are thin. */
const INSIDE_RAD = [1e-7, 1e-6, 1e-5, 1e-4] as const
/** The same where the border is that of what is in sight. */
const INSIDE_SIGHT_RAD = 1e-5

/** Looked through one after another, degrees from where the zone would be nearest: most are found in the first. */
const RINGS_DEG = [0, 3, 12, GREATEST_BEND_DEG] as const

/** The same where not all of the zone is in sight; nothing is wanted at a smaller bend than `fromDeg`. */
function leastInSight(place: BendPlace, axis: Axis, zone: WantedZone, fromDeg: number): Bent | null {
  const tangent = (ringDeg: number) => Math.tan(radians(Math.min(GREATEST_BEND_DEG, fromDeg + ringDeg)))
  for (let n = 1; n < RINGS_DEG.length; n++) {
    const ring = { from: tangent(RINGS_DEG[n - 1]), to: tangent(RINGS_DEG[n]) }
    for (const corner of cornersInSight(place.surface, zone, axis, ring))
      for (const way of corner.ways) {
        const aside = beside(corner, way, INSIDE_SIGHT_RAD)
        if (isWanted(place, exitAside(place, axis, aside))) return bentTo(aside)
      }
  }
  return null
}

function beside(from: Aside, towards: Aside, by: number): Aside {
  const far = Math.hypot(towards.u, towards.v)
  const share = far > by ? by / far : 1
  return { u: from.u + share * towards.u, v: from.v + share * towards.v }
}

const exitAside = (place: BendPlace, axis: Axis, aside: Aside) =>
  exitAlong(place, place.pivot, directionAside(axis, aside))

const bentTo = ({ u, v }: Aside): Bent => ({
  bendDeg: degrees(Math.atan(Math.hypot(u, v))),
  azimuthDeg: degrees(Math.atan2(v, u)),
})

const degrees = (radians: number): number => (radians * 180) / Math.PI
const radians = (deg: number): number => (deg * Math.PI) / 180

/** The direction of a bend, in the crown frame. */
export const directionOf = (place: BendPlace, { bendDeg, azimuthDeg }: Bent) =>
  bentDirection(place, bendDeg, azimuthDeg)

/** Where a channel of a bend ends. */
export const exitOf = (place: BendPlace, bent: Bent) =>
  exitAlong(place, place.pivot, directionOf(place, bent))
