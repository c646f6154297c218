import type { Found, Hill } from './way-climb.js'
import { apartMm, DEG_A_MM, type Place } from './way-space.js'
import { leastKept, type Standing } from './way-standing.js'

/** Coordinates of a place: each tilt with the coordinate that moves along with it. */
const DEPTH = 2
const TILTS = [
  { tilt: 3, moved: 0 },
  { tilt: 4, moved: 1 },
] as const
/** At so many depths a place is looked for. */
const DEPTHS = 8
/** Tilts are tried so many degrees apart and up to so many steps to each side. Own choice: no farther is the wall's own reach. */
const TILT_STEP_DEG = 2
const TILT_STEPS = [5, 3] as const
/** A fixture is tilted about a point so far below its platform, mm: about its middle, where it keeps its bone. Own choice. */
const PIVOT_MM = 5
/** Nearer tilts a climb sees by itself, mm; those that are gone on from lie as far apart. */
const APART_MM = 0.6
const TILTED = 2
/** What a millimetre of violation costs here: what is near a good place may be better than what is allowed. */
const COST = 2

/**
 * The best depth over or under a place that was found: margins leap with depth, where a climb stops, because bone above the
 * platform counts by rows half a millimetre apart (see leastSurfaceDistance).
 */
export function otherDepths(hill: Hill, { place }: Found): Place[] {
  const [from, to] = [hill.low[DEPTH], hill.high[DEPTH]]
  const depths = Array.from({ length: DEPTHS }, (_, n) => from + ((to - from) * (n + 0.5)) / DEPTHS)
  const places = depths.map((depth) => place.map((at, which) => (which === DEPTH ? depth : at)))
  return bestOf(hill, places, [], 1)
}

/**
 * The best tilts round about a place that was found: the wall round the channel is thin where that meets a ledge of the
 * crown, and thick again beside it.
 */
export const otherTilts = (hill: Hill, { place }: Found): Place[] =>
  bestOf(hill, tiltedFrom(hill, place), [place], TILTED)

function tiltedFrom({ low, high }: Hill, place: Place): Place[] {
  const [facial, mesial] = TILT_STEPS.map((steps) =>
    Array.from({ length: 2 * steps + 1 }, (_, n) => (n - steps) * TILT_STEP_DEG),
  )
  return facial
    .flatMap((facialDeg) => mesial.map((mesialDeg) => tiltedBy(place, [facialDeg, mesialDeg])))
    .filter((at) => at.every((v, which) => v >= low[which] && v <= high[which]))
}

function tiltedBy(place: Place, degrees: readonly [facial: number, mesial: number]): Place {
  const at = [...place]
  for (const [n, { tilt, moved }] of TILTS.entries()) {
    at[tilt] += degrees[n] / DEG_A_MM
    at[moved] += PIVOT_MM * (tangent(at[tilt]) - tangent(place[tilt]))
  }
  return at
}

/** The best of places, apart from some and from each other. */
function bestOf(hill: Hill, places: readonly Place[], from: readonly Place[], count: number): Place[] {
  const scored = places
    .map((place) => ({ place, score: scoreOf(hill.look(place)) }))
    .sort((a, b) => b.score - a.score)
  const found: Place[] = []
  for (const { place } of scored)
    if (found.length < count && [...from, ...found].every((other) => apartMm(other, place) >= APART_MM))
      found.push(place)
  return found
}

const scoreOf = (at: Standing): number => at.goal + COST * Math.min(0, leastKept(at))

const tangent = (tilt: number): number => Math.tan((tilt * DEG_A_MM * Math.PI) / 180)
