import type { FixtureProfile } from '../fixture/index.js'
import { lateralAreaMm2 } from './surface-area.js'
import type { RadialMap, UncoveredCells } from './uncovered-cells.js'

export interface UncoveredArea {
  /** Of each region, mm2. */
  readonly byRegion: Float64Array
  /** Of the fixture's side where it is known whether bone covers it, mm2. */
  readonly knownMm2: number
}

/**
 * Areas by marching over the squares between four rays: the zero level of the radial margin cuts a square on straight
 * lines between its crossings of the sides. Where a ray has no number (axis outside, no surface, no data) each ray of
 * the square counts with its own quarter.
 */
export function uncoveredArea(
  { grid, states, radialMm }: RadialMap,
  { regionOf, regions }: UncoveredCells,
  profile: FixtureProfile,
): UncoveredArea {
  const { depthsMm, anglesDeg } = grid
  const columns = anglesDeg.length
  const covers = states.map((state, n) => state === 'no-surface' || radialMm[n] >= 0)
  const byRegion = new Float64Array(regions.length)
  let knownMm2 = 0
  for (let row = 0; row + 1 < depthsMm.length; row++) {
    const middle = (depthsMm[row] + depthsMm[row + 1]) / 2
    const upper = lateralAreaMm2(profile, depthsMm[row], middle) / columns
    const lower = lateralAreaMm2(profile, middle, depthsMm[row + 1]) / columns
    for (let column = 0; column < columns; column++) {
      const a = row * columns + column
      const b = row * columns + ((column + 1) % columns)
      const c = b + columns
      const d = a + columns
      if (covers[a] && covers[b] && covers[c] && covers[d]) {
        knownMm2 += upper + lower
        continue
      }
      const square = [a, b, c, d] as const
      if (square.some((n) => Number.isNaN(radialMm[n])))
        square.forEach((n, corner) => {
          const quarter = (corner < 2 ? upper : lower) / 2
          if (states[n] !== 'no-data') knownMm2 += quarter
          if (regionOf[n] >= 0) byRegion[regionOf[n]] += quarter
        })
      else {
        knownMm2 += upper + lower
        addCut(square, radialMm, regionOf, upper + lower, byRegion)
      }
    }
  }
  return { byRegion, knownMm2 }
}

/** Adds the uncovered part of a square, whose corners go round, to its region; two opposite corners may be two regions. */
function addCut(
  square: readonly number[],
  radialMm: Float64Array,
  regionOf: Int32Array,
  areaMm2: number,
  byRegion: Float64Array,
): void {
  const bare = CORNERS.filter((corner) => radialMm[square[corner]] < 0)
  if (bare.length === 0) return
  const radial = (corner: number) => radialMm[square[corner & 3]]
  /** How far along a side from a corner towards its neighbour the zero level lies, 0 to 1. */
  const cut = (corner: number, next: number) => radial(corner) / (radial(corner) - radial(next))
  const triangle = (corner: number) => (cut(corner, corner + 1) * cut(corner, corner + 3)) / 2
  const add = (corner: number, share: number) => {
    byRegion[regionOf[square[corner]]] += share * areaMm2
  }
  const [first, second] = bare
  if (bare.length === 4) add(first, 1)
  else if (bare.length === 3) add(first, 1 - triangle(6 - bare[0] - bare[1] - bare[2]))
  else if (bare.length === 1 || second - first === 2) for (const corner of bare) add(corner, triangle(corner))
  else {
    const [p, q] = second - first === 1 ? [first, second] : [second, first]
    add(p, (cut(p, p + 3) + cut(q, q + 1)) / 2)
  }
}

const CORNERS = [0, 1, 2, 3] as const
