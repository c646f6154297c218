import { type BendPlace, bentRun, isWanted } from './channel-bend.js'
import { type Bent, leastBend, outwards, type SearchGrid } from './channel-search.js'
import { type BelowBend, mayHold, straightHolds, wallHolds } from './channel-wall.js'
import { directionOf, exitOf, GREATEST_BEND_DEG, STRAIGHT } from './least-wanted.js'

/** So many wall lines tell soon of most channels that their wall is too thin. */
const FEW_LINES = 4
/** So many tell nearly how thick it is: within 0.01 mm of height between them. Divides the number of all. */
const SOME_LINES = 24
/** How much further all wall lines may ask a channel to bend than some of them do, degrees. */
const SETTLING_DEG = 0.3
const WALL_GRID: SearchGrid = {
  ringDeg: 3,
  azimuthDeg: 15,
  fromDeg: 0,
  toDeg: GREATEST_BEND_DEG,
  toleranceDeg: 4e-3,
  starts: 1,
}

/**
 * The least bend with an exit where it is wanted that keeps the wall as well, on from the least without regard to that;
 * `below`: the straight part of the channel. Null when the search finds none up to 60 degrees.
 */
export function leastWalled(place: BendPlace, least: Bent, below: BelowBend | null): Bent | null {
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
