import {
  axisPoint,
  type FixtureFrame,
  type FixtureProfile,
  radialDirection,
  radiusAtMm,
  type SurfaceGrid,
} from '../fixture/index.js'
import { toIndex, type WorldPoint } from '../space/index.js'
import { OUTSIDE } from './exterior.js'
import type { RayState, SurfaceHits } from './hits.js'
import type { BoneModel } from './model.js'
import { type NearestDistance, nearestDistance } from './nearest.js'

/** What the distance from a fixture's side to the outside of bone is worked out from. */
export interface NearestQuestion {
  readonly model: BoneModel
  readonly frame: FixtureFrame
  readonly profile: FixtureProfile
  readonly grid: SurfaceGrid
  /** Of the map's rays. */
  readonly states: readonly RayState[]
  readonly radialMm: Float64Array
  /** Hits of all rays, those beyond the ends of the map included. */
  readonly net: SurfaceHits
}

/** Farther than any margin: stands for "no surface near". */
const BEYOND_MM = 100
const PATCH = 4

/** The least over the fixture's side; where it is exposed, the farthest it sticks out, negative. Null without a surface. */
export function leastNearest(question: NearestQuestion): number | null {
  const { states, radialMm } = question
  if (!states.includes('bone')) return null
  const side = new Side(question)
  let deepest = -1
  for (let n = 0; n < radialMm.length; n++) {
    if (!side.isExposed(n)) continue
    const d = side.distanceMm(n, BEYOND_MM)
    if (d < BEYOND_MM && d > deepest) deepest = d
  }
  return deepest >= 0 ? -deepest : leastCovered(question.grid, states, side)
}

/** Rows of the map between two steps. */
const ROWS_A_STEP = 8

/**
 * The distance at every cell of the map, mm, negative where the fixture is exposed; NaN where no surface is near. In
 * steps, to be stopped between them.
 */
export function* nearestMap(question: NearestQuestion): Generator<void, Float64Array> {
  const side = new Side(question)
  const map = new Float64Array(question.radialMm.length).fill(Number.NaN)
  const columns = question.grid.anglesDeg.length
  let before = -1
  let beforeMm = BEYOND_MM
  for (let n = 0; n < map.length; n++) {
    if (n % (ROWS_A_STEP * columns) === 0) yield
    if (question.states[n] === 'no-data') continue
    // No farther than the last cell's distance and the way from it: what lies beyond need not be looked at.
    const boundMm = before < 0 ? BEYOND_MM : Math.min(BEYOND_MM, beforeMm + side.apartMm(before, n) + 1e-6)
    const d = side.distanceMm(n, boundMm)
    before = n
    beforeMm = d
    if (d < BEYOND_MM) map[n] = side.isExposed(n) ? -d : d
  }
  return map
}

/** The fixture's side against the net of hits. */
class Side {
  readonly points: Float64Array
  readonly #question: NearestQuestion
  readonly #distance: NearestDistance

  constructor(question: NearestQuestion) {
    this.#question = question
    this.points = sidePoints(question)
    this.#distance = nearestDistance(question.net)
  }

  /** Distance from a cell to the surface, mm; `beyondMm` when nothing is nearer than that. */
  distanceMm(n: number, beyondMm: number): number {
    return this.#distance(this.points[3 * n], this.points[3 * n + 1], this.points[3 * n + 2], beyondMm)
  }

  isExposed(n: number): boolean {
    const { states, radialMm, model } = this.#question
    if (radialMm[n] < 0) return true
    return (
      states[n] === 'axis-outside' &&
      isOutside(model, [this.points[3 * n], this.points[3 * n + 1], this.points[3 * n + 2]])
    )
  }

  apartMm(a: number, b: number): number {
    const { points } = this
    return Math.hypot(
      points[3 * a] - points[3 * b],
      points[3 * a + 1] - points[3 * b + 1],
      points[3 * a + 2] - points[3 * b + 2],
    )
  }
}

/**
 * Patch by patch: a patch whose middle is farther from the surface than the least so far by more than its own reach
 * cannot hold a smaller distance.
 */
function leastCovered(grid: SurfaceGrid, states: readonly RayState[], side: Side): number | null {
  const rows = grid.depthsMm.length
  const columns = grid.anglesDeg.length
  let best = BEYOND_MM
  for (let row = 0; row < rows; row += PATCH)
    for (let column = 0; column < columns; column += PATCH) {
      const cells: number[] = []
      for (let r = row; r < Math.min(row + PATCH, rows); r++)
        for (let c = column; c < Math.min(column + PATCH, columns); c++)
          if (states[r * columns + c] === 'bone') cells.push(r * columns + c)
      if (cells.length === 0) continue
      const middle = cells[cells.length >> 1]
      const reach = Math.max(...cells.map((n) => side.apartMm(n, middle)))
      if (side.distanceMm(middle, best + reach) >= best + reach) continue
      for (const n of cells) best = side.distanceMm(n, best)
    }
  return best < BEYOND_MM ? best : null
}

/** The fixture's surface at every cell of the grid, xyz LPS mm. */
function sidePoints({ frame, profile, grid }: NearestQuestion): Float64Array {
  const directions = grid.anglesDeg.map((angle) => radialDirection(frame, angle))
  const points = new Float64Array(3 * grid.depthsMm.length * directions.length)
  let n = 0
  for (const depthMm of grid.depthsMm) {
    const centre = axisPoint(frame, depthMm)
    const radius = radiusAtMm(profile, depthMm)
    for (const d of directions)
      for (let axis = 0; axis < 3; axis++) points[n++] = centre[axis] + radius * d[axis]
  }
  return points
}

function isOutside(model: BoneModel, point: WorldPoint): boolean {
  const { cells, shape, step } = model.exterior
  const [i, j, k] = toIndex(model.volume.worldToIndex, point).map((v, a) => Math.round(v / step[a]))
  if (i === undefined || j === undefined || k === undefined) return false
  if (i < 0 || j < 0 || k < 0 || i >= shape[0] || j >= shape[1] || k >= shape[2]) return false
  return cells[i + shape[0] * (j + shape[1] * k)] === OUTSIDE
}
