import { inSector, type LimitValues, missingBone, type Sector } from '../assess/index.js'
import { type SiteSurface, type SurfaceProbe, surfaceProbe } from '../bone/index.js'
import type { Clearance } from '../clearance/index.js'
import type { AccessProbe } from '../crown/index.js'
import {
  type FixtureFrame,
  type FixtureProfile,
  type FixtureShape,
  fixtureFrame,
  fixtureProfile,
  radiusAtMm,
  type SurfaceGrid,
  surfaceGrid,
} from '../fixture/index.js'
import { QuickVolume, quickGraftGrid } from '../graft/index.js'
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

/** The numbers that assess tells of a margin, on the same rays; the volume of what is missing as in mode `surface`. */
function boneMeter(
  { surface, facial, sectors, limits }: MeteredSite,
  profile: FixtureProfile,
): PoseMeter['bone'] {
  const limitOf = ({ name }: Sector): number =>
    limits(name === 'facial' ? 'facialMarginMm' : 'marginMm').value
  const probeOn = (grid: SurfaceGrid): SurfaceProbe => {
    const ofColumn = grid.anglesDeg.map((angle) => sectors.findIndex((sector) => inSector(sector, angle)))
    const limitsMm = ofColumn.map((sector) => limitOf(sectors[sector]))
    return surfaceProbe(surface, profile, grid, { count: sectors.length, ofColumn, limitsMm })
  }
  const grid = surfaceGrid(profile)
  const probe = probeOn(grid)
  const followed = probeOn(quickGraftGrid(profile))
  const missing = new QuickVolume(followed.rays, missingBone(limits))
  const graftMm3 = (frame: FixtureFrame): number => {
    followed.follow(frame, missing.askedMm)
    return missing.volumeMm3()
  }
  return (pose: FixturePose, graft = false): BoneAtPose => {
    const frame = fixtureFrame(pose, facial)
    const found = probe.measure(frame, null)
    const bySector: Record<string, number | null> = {}
    for (const [n, { name }] of sectors.entries()) bySector[name] = orNull(found.sectorsMm[n])
    return {
      sectors: bySector,
      radialMm: orNull(found.radialMm),
      nearestMm: orNull(found.nearestMm),
      openShare: found.openShare,
      graftMm3: graft ? graftMm3(frame) : null,
    }
  }
}

const orNull = (mm: number): number | null => (Number.isNaN(mm) ? null : mm)
