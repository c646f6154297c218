import type { SurfaceGrid } from '../fixture/index.js'
import type { RayState } from './hits.js'

/** What the regions of a map are found from. */
export interface RadialMap {
  readonly grid: SurfaceGrid
  readonly states: readonly RayState[]
  /** Row by row, mm; NaN where there is no number. */
  readonly radialMm: Float64Array
}

/** The cells of a map that bone does not cover, in connected regions. */
export interface UncoveredCells {
  /** Region of each cell, row by row, counted from 0; -1 where bone covers it or nothing is known. */
  readonly regionOf: Int32Array
  /** The cells of each region. */
  readonly regions: readonly (readonly number[])[]
  /** Whether a region borders on rays without data. */
  readonly open: readonly boolean[]
}

/**
 * Cells whose radial margin is negative, or whose axis is outside bone, joined to their four neighbours; the map goes
 * round in angle.
 */
export function uncoveredCells({ grid, states, radialMm }: RadialMap): UncoveredCells {
  const columns = grid.anglesDeg.length
  const regionOf = new Int32Array(states.length).fill(-1)
  const regions: number[][] = []
  const open: boolean[] = []
  const bare = (n: number) => states[n] === 'axis-outside' || radialMm[n] < 0
  for (let seed = 0; seed < states.length; seed++) {
    if (regionOf[seed] >= 0 || !bare(seed)) continue
    const id = regions.length
    const cells = [seed]
    regionOf[seed] = id
    let borders = false
    for (let head = 0; head < cells.length; head++)
      for (const m of neighbours(cells[head], states.length, columns)) {
        borders ||= states[m] === 'no-data'
        if (regionOf[m] >= 0 || !bare(m)) continue
        regionOf[m] = id
        cells.push(m)
      }
    regions.push(cells)
    open.push(borders)
  }
  return { regionOf, regions, open }
}

function neighbours(n: number, count: number, columns: number): number[] {
  const column = n % columns
  const next = [n - column + ((column + 1) % columns), n - column + ((column + columns - 1) % columns)]
  if (n >= columns) next.push(n - columns)
  if (n + columns < count) next.push(n + columns)
  return next
}
