import { type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'
import { cellAreasMm2 } from './surface-area.js'
import { uncoveredArea } from './uncovered-area.js'
import { type RadialMap, type UncoveredCells, uncoveredCells } from './uncovered-cells.js'

/** Where the fixture surface is not covered by bone. */
export interface Exposure {
  /** Greatest depth of the exposed regions that reach the platform, mm; 0 when none. */
  readonly dehiscenceMm: number
  /** Area of the exposed regions that do not reach the platform, mm2. */
  readonly fenestrationMm2: number
  /** Whether an exposed region borders on rays without data: it may go on there, and join another. */
  readonly exposureOpen: boolean
}

/** One connected part of the fixture's side that bone does not cover. */
export interface ExposedArea {
  readonly areaMm2: number
  /** Depths between which it lies, mm. */
  readonly fromMm: number
  readonly toMm: number
  readonly heightMm: number
  /** Greatest width at one depth, along the fixture's surface, mm. */
  readonly widthMm: number
  /** Its middle, by area; 0 where it goes round evenly. */
  readonly angleDeg: number
  /** Whether it goes all the way round somewhere. */
  readonly allRound: boolean
  /** Whether it borders on rays without data and may go on there. */
  readonly open: boolean
}

export interface ExposedAreas extends Exposure {
  /** Exposed regions that reach the platform, largest first. */
  readonly dehiscences: readonly ExposedArea[]
  /** The others, largest first. */
  readonly fenestrations: readonly ExposedArea[]
  /** Area of the fixture's side where it is known whether bone covers it, mm2. */
  readonly knownMm2: number
}

/**
 * What bone does not cover of a fixture's side. Between two rays with a number the edge lies where the radial margin
 * crosses zero on a straight line; towards a ray without one, half way. Height and area of the strip that a flat plate
 * leaves bare are met within 2 % on 41 depths x 72 angles (closed form).
 */
export function exposedAreas(map: RadialMap, profile: FixtureProfile): ExposedAreas {
  const cells = uncoveredCells(map)
  const { byRegion, knownMm2 } = uncoveredArea(map, cells, profile)
  const cellArea = cellAreasMm2(profile, map.grid.depthsMm, map.grid.anglesDeg.length)
  const found = cells.regions.map((region, id) => ({
    atPlatform: region.some((n) => n < map.grid.anglesDeg.length),
    area: {
      areaMm2: byRegion[id],
      ...heightOf(region, cells, map),
      ...widthOf(region, cells, map, profile),
      angleDeg: middleOf(region, map.grid, cellArea),
      open: cells.open[id],
    },
  }))
  const largestFirst = (atPlatform: boolean) =>
    found
      .filter((each) => each.atPlatform === atPlatform)
      .map(({ area }) => area)
      .sort((a, b) => b.areaMm2 - a.areaMm2)
  const dehiscences = largestFirst(true)
  const fenestrations = largestFirst(false)
  return {
    dehiscences,
    fenestrations,
    dehiscenceMm: dehiscences.reduce((most, { toMm }) => Math.max(most, toMm), 0),
    fenestrationMm2: fenestrations.reduce((sum, { areaMm2 }) => sum + areaMm2, 0),
    exposureOpen: cells.open.includes(true),
    knownMm2,
  }
}

/** How far from a bare cell towards a neighbour it stays bare, as a share of the way. */
function reach(from: number, to: number, radialMm: Float64Array): number {
  const share = radialMm[from] / (radialMm[from] - radialMm[to])
  return Number.isNaN(share) ? 0.5 : share
}

function heightOf(region: readonly number[], { regionOf }: UncoveredCells, { grid, radialMm }: RadialMap) {
  const { depthsMm, anglesDeg } = grid
  const columns = anglesDeg.length
  let fromMm = Number.POSITIVE_INFINITY
  let toMm = 0
  for (const n of region) {
    const row = Math.floor(n / columns)
    const here = depthsMm[row]
    const edge = (next: number): number => {
      const there = depthsMm[next]
      const m = n + (next - row) * columns
      if (there === undefined || regionOf[m] >= 0) return here
      return here + (there - here) * reach(n, m, radialMm)
    }
    fromMm = Math.min(fromMm, edge(row - 1))
    toMm = Math.max(toMm, edge(row + 1))
  }
  return { fromMm, toMm, heightMm: toMm - fromMm }
}

function widthOf(
  region: readonly number[],
  { regionOf }: UncoveredCells,
  { grid, radialMm }: RadialMap,
  profile: FixtureProfile,
) {
  const columns = grid.anglesDeg.length
  const beside = (n: number, step: number) => n - (n % columns) + ((n + step + columns) % columns)
  let widthMm = 0
  let allRound = false
  for (const first of region) {
    // Runs are counted from their first cell; a run without one goes all the way round.
    const before = beside(first, -1)
    const starts = regionOf[before] < 0
    if (!starts && first % columns !== 0) continue
    let last = first
    let steps = 0
    while (steps < columns && regionOf[beside(last, 1)] >= 0) {
      last = beside(last, 1)
      steps++
    }
    const ring = steps === columns
    if (!starts && !ring) continue
    const turn = ring
      ? columns
      : steps + reach(first, before, radialMm) + reach(last, beside(last, 1), radialMm)
    const radiusMm = radiusAtMm(profile, grid.depthsMm[Math.floor(first / columns)])
    widthMm = Math.max(widthMm, (2 * Math.PI * radiusMm * turn) / columns)
    allRound ||= ring
  }
  return { widthMm, allRound }
}

/** Below this share of the area the pull to one side is no side. */
const NO_SIDE = 1e-6

function middleOf(region: readonly number[], { anglesDeg }: SurfaceGrid, cellArea: Float64Array): number {
  const columns = anglesDeg.length
  let x = 0
  let y = 0
  let area = 0
  for (const n of region) {
    const weight = cellArea[Math.floor(n / columns)]
    const angle = (anglesDeg[n % columns] * Math.PI) / 180
    x += weight * Math.cos(angle)
    y += weight * Math.sin(angle)
    area += weight
  }
  if (Math.hypot(x, y) < NO_SIDE * area) return 0
  // Rounded, so that a hair to either side of 0 is the same angle everywhere.
  const angle = Math.round(((Math.atan2(y, x) * 180) / Math.PI) * 1e6) / 1e6
  return (angle + 360) % 360
}
