import { inSector, type LimitValues, missingBone, type Sector } from '../assess/index.js'
import { leastSurfaceDistance, type SiteSurface, surfaceProbe } from '../bone/index.js'
import type { Clearance } from '../clearance/index.js'
import type { AccessProbe } from '../crown/index.js'
import {
  type FixtureProfile,
  type FixtureShape,
  fixtureFrame,
  fixtureProfile,
  radiusAtMm,
  surfaceGrid,
} from '../fixture/index.js'
import { QuickVolume } from '../graft/index.js'
import type { Vec3 } from '../space/index.js'
import type { FixturePose } from './pose.js'
import type { BoneAtPose } from './pose-measures.js'
import type { PoseMeter } from './pose-meter.js'

/** What a meter measures on. */
export interface MeteredSite {
  readonly surface: SiteSurface
  /** The facial direction of the site, LPS. */
  readonly facial: Vec3
  readonly sectors: readonly Sector[]
  readonly limits: LimitValues
  readonly access: AccessProbe
  readonly clearance: Clearance
}

/** A meter for one shape: bone from the site's surface, exits from the crown, distances from what is known beside it. */
export function realPoseMeter(site: MeteredSite, shape: FixtureShape): PoseMeter {
  const { access } = site
  const profile = fixtureProfile(shape)
  const platformRadiusMm = radiusAtMm(profile, 0)
  return {
    shape,
    bone: boneMeter(site, profile),
    exit: ({ platform, apical }) => access.exit(platform, apical),
    correctionDeg: ({ platform, apical }) => access.correctionDeg(platform, apical),
    correctionWithWallDeg: ({ platform, apical }) => access.correctionWithWallDeg(platform, apical),
    wall: ({ platform, apical }) => access.wall(platform, apical),
    platform: ({ platform, apical }) => access.platform(platform, apical, platformRadiusMm),
    clearanceMm: ({ platform, apical }) => site.clearance({ origin: platform, axis: apical }, profile.points),
  }
}

/** The numbers that assess tells of a margin, and the volume of what is missing, on the same rays. */
function boneMeter(
  { surface, facial, sectors, limits }: MeteredSite,
  profile: FixtureProfile,
): PoseMeter['bone'] {
  const grid = surfaceGrid(profile)
  const ofColumn = grid.anglesDeg.map((angle) => sectors.findIndex((sector) => inSector(sector, angle)))
  const limitOf = ({ name }: Sector): number =>
    limits(name === 'facial' ? 'facialMarginMm' : 'marginMm').value
  const probe = surfaceProbe(surface, profile, grid, {
    count: sectors.length,
    ofColumn,
    limitsMm: ofColumn.map((sector) => limitOf(sectors[sector])),
  })
  const missing = new QuickVolume(probe.rays, missingBone(limits))
  const nearest = leastSurfaceDistance(surface, profile, grid)
  return (pose: FixturePose, graft = false): BoneAtPose => {
    const frame = fixtureFrame(pose, facial)
    const found = probe.measure(frame, graft ? missing.askedMm : null)
    const bySector: Record<string, number | null> = {}
    for (const [n, { name }] of sectors.entries()) bySector[name] = orNull(found.sectorsMm[n])
    return {
      sectors: bySector,
      radialMm: orNull(found.radialMm),
      nearestMm: orNull(nearest(frame, found.radialMm)),
      openShare: found.openShare,
      graftMm3: graft ? missing.volumeMm3() : null,
    }
  }
}

const orNull = (mm: number): number | null => (Number.isNaN(mm) ? null : mm)
