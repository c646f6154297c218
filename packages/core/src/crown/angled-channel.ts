import { transformPoint } from '../space/index.js'
import { wallInWorld } from './access-channel.js'
import {
  type BelowBend,
  type BendPlace,
  belowBend,
  bendPlace,
  bentDirection,
  bentWall,
  bentWallHolds,
  exitAlong,
  isWanted,
} from './channel-bend.js'
import { type ChannelQuestion, channelLimits } from './channel-question.js'
import type { AngledChannel, Bend } from './channel-result.js'
import { type Bent, leastBend, type SearchGrid } from './channel-search.js'
import { reachableZone } from './reachable-zone.js'

/** No channel bends further, degrees. */
const GREATEST_BEND_DEG = 60

const ZONE_GRID: SearchGrid = {
  ringDeg: 2,
  azimuthDeg: 10,
  fromDeg: 0,
  toDeg: GREATEST_BEND_DEG,
  toleranceDeg: 1e-3,
}
/** A wall takes longer to judge than an exit. */
const WALL_GRID: SearchGrid = { ...ZONE_GRID, ringDeg: 3, azimuthDeg: 15, toleranceDeg: 4e-3 }

/**
 * What a bent channel can do. It runs along the fixture axis up to the pivot, bendPivotMm above the platform along the
 * crown's long axis, and straight on from there; it ends where it leaves the crown for the last time. Wanted are exits
 * `palatal` or `lingual` at least wantedPalatalMm behind the incisal-edge line, `occlusal` on posterior teeth. All on
 * the crown's surface itself; bends are found to 0.01 degrees.
 *
 * @throws RangeError as `accessChannel`.
 */
export function angledChannel(question: ChannelQuestion): AngledChannel {
  const limitDeg = channelLimits(question).correctionDeg
  const place = bendPlace(question)
  if (place === null) return { pivot: null, limitDeg, least: null, leastWithWall: null, reachable: null }
  const below = belowBend(place)
  const least = leastWanted(place)
  const walled = least && leastWalled(place, least, below)
  const bend = (bent: Bent | null): Bend | null => bent && bendOf(place, bent, below, question)
  const toWorld = (p: BendPlace['pivot']) => transformPoint(question.pose, p)
  return {
    pivot: toWorld(place.pivot),
    limitDeg,
    least: bend(least),
    leastWithWall: bend(walled),
    reachable: reachableZone(place)?.map(toWorld) ?? null,
  }
}

const STRAIGHT: Bent = { bendDeg: 0, azimuthDeg: 0 }

function leastWanted(place: BendPlace): Bent | null {
  const { origin, direction } = place.straight
  if (isWanted(place, exitAlong(place, origin, direction))) return STRAIGHT
  return leastBend((bent) => isWanted(place, exitOf(place, bent)), ZONE_GRID)
}

function leastWalled(place: BendPlace, least: Bent, below: BelowBend): Bent | null {
  const holds = (bent: Bent) =>
    isWanted(place, exitOf(place, bent)) && bentWallHolds(place, directionOf(place, bent), below)
  if (bentWallHolds(place, directionOf(place, least), below)) return least
  return leastBend(holds, { ...WALL_GRID, fromDeg: least.bendDeg })
}

const directionOf = (place: BendPlace, { bendDeg, azimuthDeg }: Bent) =>
  bentDirection(place, bendDeg, azimuthDeg)

const exitOf = (place: BendPlace, bent: Bent) => exitAlong(place, place.pivot, directionOf(place, bent))

/** A straight channel ends where the fixture axis does, which may be below the bend. */
function bendOf(place: BendPlace, bent: Bent, below: BelowBend, { pose }: ChannelQuestion): Bend | null {
  const direction = directionOf(place, bent)
  const exit = exitAlong(place, bent.bendDeg === 0 ? place.straight.origin : place.pivot, direction)
  if (exit === null) return null
  const wall = bentWall(place, direction, below)
  return {
    correctionDeg: bent.bendDeg,
    exit: transformPoint(pose, exit.point),
    wall: wall && wallInWorld(wall, pose),
  }
}
