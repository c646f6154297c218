import { transformPoint } from '../space/index.js'
import { wallInWorld } from './access-channel.js'
import {
  type BendPlace,
  belowBend,
  bendPlace,
  bentDirection,
  bentRun,
  exitAlong,
  isWanted,
} from './channel-bend.js'
import { type ChannelQuestion, channelLimits } from './channel-question.js'
import type { AngledChannel, Bend } from './channel-result.js'
import { type Bent, leastBend, outwards, type SearchGrid } from './channel-search.js'
import { type BelowBend, channelWall, mayHold, straightHolds, wallHolds } from './channel-wall.js'
import { reachableZone } from './reachable-zone.js'

/** No channel bends further, degrees. */
const GREATEST_BEND_DEG = 60

const ZONE_GRID: SearchGrid = {
  ringDeg: 2,
  azimuthDeg: 10,
  fromDeg: 0,
  toDeg: GREATEST_BEND_DEG,
  toleranceDeg: 1e-3,
  starts: 3,
}
/** So many wall lines tell soon of most channels that their wall is too thin. */
const FEW_LINES = 4
/** So many tell nearly how thick it is: within 0.01 mm of height between them. Divides the number of all. */
const SOME_LINES = 24
/** How much further all wall lines may ask a channel to bend than some of them do, degrees. */
const SETTLING_DEG = 0.3
/** A wall takes longer to judge than an exit. */
const WALL_GRID: SearchGrid = { ...ZONE_GRID, ringDeg: 3, azimuthDeg: 15, toleranceDeg: 4e-3, starts: 1 }

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
  const leastFound = bend(least)
  return {
    pivot: toWorld(place.pivot),
    limitDeg,
    least: leastFound,
    leastWithWall: walled === least ? leastFound : bend(walled),
    reachable: reachableZone(place)?.map(toWorld) ?? null,
  }
}

const STRAIGHT: Bent = { bendDeg: 0, azimuthDeg: 0 }

function leastWanted(place: BendPlace): Bent | null {
  const { origin, direction } = place.straight
  if (isWanted(place, exitAlong(place, origin, direction))) return STRAIGHT
  return leastBend((bent) => isWanted(place, exitOf(place, bent)), ZONE_GRID)
}

function leastWalled(place: BendPlace, least: Bent, below: BelowBend | null): Bent | null {
  const { surface, limits } = place
  if (least === STRAIGHT && below && wallHolds(surface, below.run, limits.leastWallMm)) return least
  if (below && !straightHolds(surface, below, limits.leastWallMm)) return null
  const walled = (bent: Bent, lines?: number): boolean => {
    const direction = directionOf(place, bent)
    const rough = bentRun(place, direction, FEW_LINES)
    if (rough === null || !mayHold(surface, rough, limits.leastWallMm)) return false
    const run = bentRun(place, direction, lines)
    return run !== null && wallHolds(surface, run, limits.leastWallMm)
  }
  if (least !== STRAIGHT && walled(least)) return least
  const grid = { ...WALL_GRID, fromDeg: least.bendDeg }
  const holds = (bent: Bent, lines?: number) => isWanted(place, exitOf(place, bent)) && walled(bent, lines)
  const nearly = leastBend((bent) => holds(bent, SOME_LINES), grid)
  const settled = nearly && outwards(holds, nearly, grid.toleranceDeg, SETTLING_DEG)
  return settled ?? (nearly && leastBend(holds, grid))
}

const directionOf = (place: BendPlace, { bendDeg, azimuthDeg }: Bent) =>
  bentDirection(place, bendDeg, azimuthDeg)

const exitOf = (place: BendPlace, bent: Bent) => exitAlong(place, place.pivot, directionOf(place, bent))

function bendOf(
  place: BendPlace,
  bent: Bent,
  below: BelowBend | null,
  { pose }: ChannelQuestion,
): Bend | null {
  const straight = bent === STRAIGHT
  const direction = directionOf(place, bent)
  // A straight channel is one from the platform on: it may leave the crown below the bend.
  const exit = exitAlong(place, straight ? place.straight.origin : place.pivot, direction)
  if (exit === null) return null
  const run = straight ? (below?.run ?? null) : bentRun(place, direction)
  const wall = run && channelWall(place.surface, run, straight ? null : below)
  return {
    correctionDeg: bent.bendDeg,
    exit: transformPoint(pose, exit.point),
    wall: wall && wallInWorld(wall, pose),
  }
}
