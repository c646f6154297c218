import { transformPoint } from '../space/index.js'
import { wallInWorld } from './access-channel.js'
import { type BendPlace, belowBend, bendPlace, bentRun, exitAlong } from './channel-bend.js'
import { type ChannelQuestion, channelLimits } from './channel-question.js'
import type { AngledChannel, Bend } from './channel-result.js'
import type { Bent } from './channel-search.js'
import { type BelowBend, channelWall } from './channel-wall.js'
import { leastWalled } from './least-walled.js'
import { directionOf, leastWanted, STRAIGHT } from './least-wanted.js'
import { reachableZone } from './reachable-zone.js'

/**
 * What a bent channel can do. It runs along the fixture axis up to the pivot, bendPivotMm above the platform along the
 * crown's long axis, and straight on from there; it ends where it leaves the crown for the last time. Wanted are exits
 * `palatal` or `lingual` at least wantedPalatalMm behind the incisal-edge line, `occlusal` on posterior teeth. All on
 * the crown's surface itself. The least bend is found to 0.01 degrees; with the wall kept a way out narrower than the
 * search's grid may be missed.
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
