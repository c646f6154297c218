import { type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'

/** Where the fixture surface is not covered by bone. */
export interface Exposure {
  /** Greatest depth of the exposed regions that reach the platform, mm; 0 when none. */
  readonly dehiscenceMm: number
  /** Area of the exposed regions that do not reach the platform, mm2. */
  readonly fenestrationMm2: number
  /** Whether an exposed region borders on rays without data: it may go on there, and join another. */
  readonly exposureOpen: boolean
}

/**
 * Connected exposed regions of the map (four neighbours, wrapping in angle).
 * @param exposed depth rows x angle columns, row by row.
 * @param unknown the same: where there is no data.
 */
export function exposure(
  exposed: ArrayLike<boolean>,
  unknown: ArrayLike<boolean>,
  grid: SurfaceGrid,
  profile: FixtureProfile,
): Exposure {
  const rows = grid.depthsMm.length
  const columns = grid.anglesDeg.length
  const seen = new Uint8Array(rows * columns)
  let dehiscenceMm = 0
  let fenestrationMm2 = 0
  let exposureOpen = false
  for (let seed = 0; seed < seen.length; seed++) {
    if (!exposed[seed] || seen[seed] === 1) continue
    const region = connected(exposed, seen, seed, rows, columns)
    exposureOpen ||= region.some((n) => neighbours(n, rows, columns).some((m) => unknown[m]))
    if (region.some((n) => n < columns)) {
      const deepest = Math.floor(Math.max(...region) / columns)
      dehiscenceMm = Math.max(dehiscenceMm, grid.depthsMm[deepest])
    } else
      fenestrationMm2 += region.reduce((sum, n) => sum + cellArea(Math.floor(n / columns), grid, profile), 0)
  }
  return { dehiscenceMm, fenestrationMm2, exposureOpen }
}

function connected(
  exposed: ArrayLike<boolean>,
  seen: Uint8Array,
  seed: number,
  rows: number,
  columns: number,
): number[] {
  const region = [seed]
  seen[seed] = 1
  for (let head = 0; head < region.length; head++) {
    for (const m of neighbours(region[head], rows, columns))
      if (exposed[m] && seen[m] === 0) {
        seen[m] = 1
        region.push(m)
      }
  }
  return region
}

function neighbours(n: number, rows: number, columns: number): number[] {
  const row = Math.floor(n / columns)
  const c = n % columns
  const next = [row * columns + ((c + 1) % columns), row * columns + ((c + columns - 1) % columns)]
  if (row > 0) next.push(n - columns)
  if (row < rows - 1) next.push(n + columns)
  return next
}

/** Area of the fixture surface a cell of the map stands for, the taper's slope included. */
function cellArea(row: number, { depthsMm, anglesDeg }: SurfaceGrid, profile: FixtureProfile): number {
  const at = (n: number) => depthsMm[Math.max(0, Math.min(depthsMm.length - 1, n))]
  const from = (at(row - 1) + at(row)) / 2
  const to = (at(row) + at(row + 1)) / 2
  const slant = Math.hypot(to - from, radiusAtMm(profile, to) - radiusAtMm(profile, from))
  return ((2 * Math.PI) / anglesDeg.length) * radiusAtMm(profile, at(row)) * slant
}
