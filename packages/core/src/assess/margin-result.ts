import {
  type BoneMargin,
  type ExposedArea,
  type ExposedAreas,
  exposedAreas,
  flagsOf,
  type RayFlag,
  type RayState,
} from '../bone/index.js'
import type { FixtureProfile } from '../fixture/index.js'
import type { ShownInterval } from './interval.js'
import type { LimitValues } from './limits.js'
import { type RegionLimits, type RegionMargin, regionSummary } from './region-margin.js'
import { inSector, LEVELS, type Level, levelOf, type Sector } from './sectors.js'

export interface MarginMinimum {
  /** Least remaining bone along a ray perpendicular to the axis, mm, and where. */
  readonly radialMm: number
  /** Shortest 3D distance from the fixture surface to the outside of bone, negative where it sticks out, mm. */
  readonly nearestMm: number
  readonly depthMm: number
  readonly angleDeg: number
  /** Half width of the 95 % interval shown to people, mm: the measurement's own and the floor, added in squares. */
  readonly uncertaintyMm: number
}

/** A quarter of the way round, whole and by thirds of the length. */
export interface SectorMargin extends RegionMargin {
  readonly levels: Readonly<Record<Level, RegionMargin>>
}

/** One connected part of the fixture's side that bone does not cover. */
export interface ExposedRegion extends Omit<ExposedArea, 'allRound'> {
  /** The sector of its middle, or `all round`. */
  readonly sector: string
}

/** What lies bare if every margin were larger or smaller by the half width of its interval; least and greatest. */
export interface ExposureRange {
  readonly shiftMm: number
  readonly dehiscenceMm: readonly [number, number]
  /** All that lies bare, mm2. */
  readonly bareMm2: readonly [number, number]
  readonly inBoneShare: readonly [number, number]
}

/** Rows are depths, columns angles; null where there is no number. */
export type MapRows<T> = readonly (readonly T[])[]

export interface MarginResult {
  /** `fast`: as shown while the fixture is moved. `refined`: an edge fitted on every ray. */
  readonly mode: 'fast' | 'refined'
  readonly depthsMm: readonly number[]
  /** 0 = facial, increasing towards +y of the fixture frame. */
  readonly anglesDeg: readonly number[]
  readonly radialMm: MapRows<number | null>
  readonly state: MapRows<RayState>
  /** Half width of the measurement's own 95 % interval on each ray, mm, without the floor of what is shown. */
  readonly halfWidthMm: MapRows<number | null>
  /** What makes a ray's number less sure. */
  readonly flags: MapRows<readonly RayFlag[]>
  /** Thickness of the cortical plate behind each ray, mm; null in fast mode. */
  readonly cortexMm: MapRows<number | null> | null
  /** Half width of its 95 % interval, mm, without a floor; null in fast mode. */
  readonly cortexHalfWidthMm: MapRows<number | null> | null
  /** Sigma of the blur that plates were fitted with, mm; null in fast mode. */
  readonly blurMm: number | null
  /** Shortest 3D distance from each place of the surface to the outside of bone, mm; null in fast mode. */
  readonly nearestMm: MapRows<number | null> | null
  /** Of the rays that give a number; null when none does. */
  readonly minimum: MarginMinimum | null
  /** Keys: facial, mesial, distal and palatal (upper) or lingual (lower). */
  readonly sectors: Readonly<Record<string, SectorMargin>>
  /** All the way round by thirds of the length: coronal, middle, apical; held against the limit of other than facial bone. */
  readonly levels: Readonly<Record<Level, RegionMargin>>
  /** Uncovered regions that reach the platform, largest first. */
  readonly dehiscences: readonly ExposedRegion[]
  /** Uncovered regions that do not, largest first. */
  readonly fenestrations: readonly ExposedRegion[]
  /** Greatest depth of the exposed regions that reach the platform, mm; 0 when none. */
  readonly dehiscenceMm: number
  /** Area of exposed regions that do not reach the platform, mm2. */
  readonly fenestrationMm2: number
  /** Whether what is uncovered borders on rays without data and may go on there. */
  readonly exposureOpen: boolean
  /** How far the uncovered regions may be smaller or larger; null when no ray has a number. */
  readonly exposureRange: ExposureRange | null
  /**
   * Bone on the fixture's side: its area, its share (0 to 1) of `ofMm2`, and the area of the side where it is known. Rays
   * without data are left out of all three.
   */
  readonly inBone: { readonly areaMm2: number; readonly share: number; readonly ofMm2: number }
  /** Bone on the axis beyond the apex, mm; null where the apex is outside, data ends or no outside lies within range. */
  readonly aboveApexMm: number | null
  /** The least half width that is shown to people, and why. */
  readonly interval: ShownInterval
}

/** A margin as it is told: rows instead of arrays, and what they come to by sector, by level and where bone is missing. */
export function marginResult(
  margin: BoneMargin,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  limits: LimitValues,
  interval: ShownInterval,
): MarginResult {
  const { depthsMm, anglesDeg } = margin.grid
  const columns = anglesDeg.length
  const rowsOf = <T>(cell: (n: number) => T): T[][] =>
    depthsMm.map((_, row) => anglesDeg.map((_angle, c) => cell(row * columns + c)))
  const numbers = (values: ArrayLike<number>) => rowsOf((n) => (Number.isNaN(values[n]) ? null : values[n]))
  const regionIn = ({ allRound, ...area }: ExposedArea): ExposedRegion => ({
    ...area,
    sector: allRound ? 'all round' : sectorName(sectors, area.angleDeg),
  })
  return {
    mode: margin.mode,
    depthsMm,
    anglesDeg,
    radialMm: numbers(margin.radialMm),
    state: rowsOf((n) => margin.states[n]),
    halfWidthMm: numbers(margin.halfWidthMm),
    flags: rowsOf((n) => FLAGS[margin.flags[n]]),
    cortexMm: margin.mode === 'refined' ? numbers(margin.cortexMm) : null,
    cortexHalfWidthMm: margin.mode === 'refined' ? numbers(margin.cortexHalfWidthMm) : null,
    blurMm: margin.blurMm,
    nearestMm: margin.nearestMapMm === null ? null : numbers(margin.nearestMapMm),
    minimum: minimumOf(margin),
    ...regionsOf(margin, profile, sectors, limits),
    dehiscences: margin.dehiscences.map(regionIn),
    fenestrations: margin.fenestrations.map(regionIn),
    dehiscenceMm: margin.dehiscenceMm,
    fenestrationMm2: margin.fenestrationMm2,
    exposureOpen: margin.exposureOpen,
    exposureRange: exposureRange(margin, profile),
    inBone: inBoneOf(margin),
    aboveApexMm: margin.aboveApexMm,
    interval,
  }
}

/** The flags of every combination of bits. */
const FLAGS: readonly (readonly RayFlag[])[] = Array.from({ length: 16 }, (_, bits) => flagsOf(bits))

const sectorName = (sectors: readonly Sector[], angleDeg: number): string =>
  sectors.find((sector) => inSector(sector, angleDeg))?.name ?? ''

function minimumOf({ minimum, nearestMm, uncertaintyMm }: BoneMargin): MarginMinimum | null {
  return minimum === null || nearestMm === null ? null : { ...minimum, nearestMm, uncertaintyMm }
}

const bareMm2 = ({ dehiscences, fenestrations }: ExposedAreas): number =>
  [...dehiscences, ...fenestrations].reduce((sum, { areaMm2 }) => sum + areaMm2, 0)

function inBoneOf(areas: ExposedAreas): MarginResult['inBone'] {
  const ofMm2 = areas.knownMm2
  const areaMm2 = Math.max(0, ofMm2 - bareMm2(areas))
  return { areaMm2, share: ofMm2 > 0 ? areaMm2 / ofMm2 : 0, ofMm2 }
}

function exposureRange(margin: BoneMargin, profile: FixtureProfile): ExposureRange | null {
  if (margin.minimum === null) return null
  const { grid, states, radialMm, uncertaintyMm } = margin
  const [more, less] = [uncertaintyMm, -uncertaintyMm].map((shiftMm) =>
    exposedAreas({ grid, states, radialMm: radialMm.map((r) => r + shiftMm) }, profile),
  )
  return {
    shiftMm: uncertaintyMm,
    dehiscenceMm: [more.dehiscenceMm, less.dehiscenceMm],
    bareMm2: [bareMm2(more), bareMm2(less)],
    inBoneShare: [inBoneOf(less).share, inBoneOf(more).share],
  }
}

/** The sectors, whole and by level, and the levels. */
function regionsOf(
  margin: BoneMargin,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  limits: LimitValues,
): Pick<MarginResult, 'sectors' | 'levels'> {
  const { depthsMm, anglesDeg } = margin.grid
  const summary = regionSummary(margin, profile)
  const all = { rows: [...depthsMm.keys()], columns: [...anglesDeg.keys()] }
  const rowsAt = Object.fromEntries(
    LEVELS.map((level) => [
      level,
      all.rows.filter((row) => levelOf(depthsMm[row] / profile.lengthMm) === level),
    ]),
  )
  const byLevel = (columns: readonly number[], held: RegionLimits): SectorMargin['levels'] => ({
    coronal: summary(rowsAt.coronal, columns, held),
    middle: summary(rowsAt.middle, columns, held),
    apical: summary(rowsAt.apical, columns, held),
  })
  const sectorMargin = (sector: Sector): SectorMargin => {
    const columns = all.columns.filter((column) => inSector(sector, anglesDeg[column]))
    const held = limitsOf(sector.name, limits)
    return { ...summary(all.rows, columns, held), levels: byLevel(columns, held) }
  }
  return {
    sectors: Object.fromEntries(sectors.map((sector) => [sector.name, sectorMargin(sector)])),
    levels: byLevel(all.columns, limitsOf('', limits)),
  }
}

const limitsOf = (sector: string, limits: LimitValues): RegionLimits =>
  sector === 'facial'
    ? { limitMm: limits('facialMarginMm').value, wantedMm: limits('facialMarginTargetMm').value }
    : { limitMm: limits('marginMm').value, wantedMm: limits('marginTargetMm').value }
