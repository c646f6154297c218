import type { BoneMargin, ExposedArea, ExposedAreas } from '../bone/index.js'
import type { FixtureProfile } from '../fixture/index.js'
import type { LimitValues } from './limits.js'
import { type MapRows, numberRows } from './map-rows.js'
import { type RegionLimits, type RegionMargin, type RegionSummary, regionSummary } from './region-margin.js'
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

/** What of a margin tells how much bone there is and what lies bare; the same before and after a graft. */
export interface MarginCover {
  readonly radialMm: MapRows<number | null>
  /** Of the rays that give a number; null when none does. */
  readonly minimum: MarginMinimum | null
  /** Keys: facial, mesial, distal and palatal (upper) or lingual (lower). */
  readonly sectors: Readonly<Record<string, SectorMargin>>
  /** Uncovered regions that reach the platform, largest first. */
  readonly dehiscences: readonly ExposedRegion[]
  /** Uncovered regions that do not, largest first. */
  readonly fenestrations: readonly ExposedRegion[]
  /** Greatest depth of the exposed regions that reach the platform, mm; 0 when none. */
  readonly dehiscenceMm: number
  /** Area of exposed regions that do not reach the platform, mm2. */
  readonly fenestrationMm2: number
  /**
   * Bone on the fixture's side: its area, its share (0 to 1) of `ofMm2`, and the area of the side where it is known. Rays
   * without data are left out of all three.
   */
  readonly inBone: { readonly areaMm2: number; readonly share: number; readonly ofMm2: number }
}

export function marginCover(
  margin: BoneMargin,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  limits: LimitValues,
): MarginCover {
  const regionIn = ({ allRound, ...area }: ExposedArea): ExposedRegion => ({
    ...area,
    sector: allRound ? 'all round' : sectorName(sectors, area.angleDeg),
  })
  return {
    minimum: minimumOf(margin),
    radialMm: numberRows(margin.radialMm, margin),
    sectors: sectorMargins(margin, profile, sectors, limits),
    dehiscences: margin.dehiscences.map(regionIn),
    fenestrations: margin.fenestrations.map(regionIn),
    dehiscenceMm: margin.dehiscenceMm,
    fenestrationMm2: margin.fenestrationMm2,
    inBone: inBoneOf(margin),
  }
}

const sectorName = (sectors: readonly Sector[], angleDeg: number): string =>
  sectors.find((sector) => inSector(sector, angleDeg))?.name ?? ''

function minimumOf({ minimum, nearestMm, uncertaintyMm }: BoneMargin): MarginMinimum | null {
  return minimum === null || nearestMm === null ? null : { ...minimum, nearestMm, uncertaintyMm }
}

export const bareMm2 = ({
  dehiscences,
  fenestrations,
}: Pick<ExposedAreas, 'dehiscences' | 'fenestrations'>): number =>
  [...dehiscences, ...fenestrations].reduce((sum, { areaMm2 }) => sum + areaMm2, 0)

export function inBoneOf(areas: ExposedAreas): MarginCover['inBone'] {
  const ofMm2 = areas.knownMm2
  const areaMm2 = Math.max(0, ofMm2 - bareMm2(areas))
  return { areaMm2, share: ofMm2 > 0 ? areaMm2 / ofMm2 : 0, ofMm2 }
}

function sectorMargins(
  margin: BoneMargin,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  limits: LimitValues,
): Readonly<Record<string, SectorMargin>> {
  const { depthsMm, anglesDeg } = margin.grid
  const summary = regionSummary(margin, profile)
  const rows = [...depthsMm.keys()]
  return Object.fromEntries(
    sectors.map((sector) => {
      const columns = [...anglesDeg.keys()].filter((column) => inSector(sector, anglesDeg[column]))
      const held = limitsOf(sector.name, limits)
      return [
        sector.name,
        {
          ...summary(rows, columns, held),
          levels: byLevel(summary, depthShares(margin, profile), columns, held),
        },
      ]
    }),
  )
}

/** All the way round by thirds of the length. */
export const levelMargins = (
  margin: BoneMargin,
  profile: FixtureProfile,
  limits: LimitValues,
): SectorMargin['levels'] =>
  byLevel(
    regionSummary(margin, profile),
    depthShares(margin, profile),
    [...margin.grid.anglesDeg.keys()],
    limitsOf('', limits),
  )

/** Of each row, how far down the fixture it lies, 0 to 1. */
const depthShares = ({ grid }: BoneMargin, { lengthMm }: FixtureProfile): readonly number[] =>
  grid.depthsMm.map((depthMm) => depthMm / lengthMm)

function byLevel(
  summary: RegionSummary,
  depthShares: readonly number[],
  columns: readonly number[],
  held: RegionLimits,
): SectorMargin['levels'] {
  const at = (level: Level): RegionMargin =>
    summary(
      [...depthShares.keys()].filter((row) => levelOf(depthShares[row]) === level),
      columns,
      held,
    )
  const [coronal, middle, apical] = LEVELS.map(at)
  return { coronal, middle, apical }
}

const limitsOf = (sector: string, limits: LimitValues): RegionLimits =>
  sector === 'facial'
    ? { limitMm: limits('facialMarginMm').value, wantedMm: limits('facialMarginTargetMm').value }
    : { limitMm: limits('marginMm').value, wantedMm: limits('marginTargetMm').value }
