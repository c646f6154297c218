import { along, scale, type Vec3 } from '../space/index.js'
import { passageThrough } from '../space/mesh-tree.js'
import { axisAlong } from '../space/mesh-tree-axis.js'
import { type ExitClass, exitPlace, lineIn, tiltsOf, wantedClass, worldToCrown } from './access-exit.js'
import type { AccessProbe, ProbedExit, ProbedPlatform, ProbedWall } from './access-probe-result.js'
import { belowBend, bendPlaceOn } from './channel-bend.js'
import { closedShare } from './channel-opening.js'
import { type ChannelQuestion, channelLimits } from './channel-question.js'
import { runChannel } from './channel-run.js'
import { channelSurface } from './channel-surface.js'
import { leastWallMm } from './channel-wall.js'
import type { Crown } from './crown.js'
import { emergenceAt, emergenceMargins } from './emergence.js'
import { leastWalled } from './least-walled.js'
import { leastWanted } from './least-wanted.js'
import { edgeDistanceMm } from './outline-distance.js'
import { isPosterior, plusYSide } from './tooth.js'

/**
 * Makes one placed crown ready to be looked at from thousands of fixtures. The numbers are those of `accessExit`,
 * `accessChannel`, `angledChannel` and `emergence`; what depends on crown, pose and limits alone is worked out once.
 *
 * @throws RangeError when the pose has scale, shear or a mirror, the crown is another tooth or the channel's diameter is no
 * length.
 */
export function accessProbe(question: Omit<ChannelQuestion, 'fixture'>): AccessProbe {
  const { crown } = question
  const limits = channelLimits(question)
  const toCrown = worldToCrown(question)
  const surface = channelSurface(crown)
  const margins = emergenceMargins(crown)
  const mesialSign = plusYSide(crown.tooth) === 'mesial' ? 1 : -1
  const insideMm = insideWanted(crown, limits.edgeBandMm)
  const line = (platform: Vec3, apical: Vec3) => lineIn(toCrown, platform, apical)
  const bend = (platform: Vec3, apical: Vec3) => bendPlaceOn(surface, limits, line(platform, apical))

  return { exit, correctionDeg, correctionWithWallDeg, wall, platform: platformUnder }

  function exit(at: Vec3, apical: Vec3): ProbedExit {
    const { platform, coronal } = line(at, apical)
    const last = passageThrough(surface.tree, platform, coronal)?.last
    const tilts = tiltsOf(coronal, mesialSign)
    if (!last) return { class: null, offsetMm: null, insideMm: null, ...tilts }
    const point = along(platform, coronal, last.distance)
    const place = exitPlace(crown, point, crown.regions[last.triangle], limits.edgeBandMm)
    return {
      class: place.class,
      offsetMm: place.offsetMm,
      insideMm: insideMm(place.class, point, place.offsetMm),
      ...tilts,
    }
  }

  function correctionDeg(at: Vec3, apical: Vec3): number | null {
    const place = bend(at, apical)
    return (place && leastWanted(place)?.bendDeg) ?? null
  }

  function correctionWithWallDeg(at: Vec3, apical: Vec3): number | null {
    const place = bend(at, apical)
    const least = place && leastWanted(place)
    return (place && least && leastWalled(place, least, belowBend(place))?.bendDeg) ?? null
  }

  function wall(at: Vec3, apical: Vec3): ProbedWall {
    const { platform, coronal } = line(at, apical)
    const run = runChannel(surface, axisAlong(platform, coronal, [1, 0, 0]), limits.channelDiameterMm / 2)
    const share = run && closedShare(surface, run)
    if (run === null || share === null) return { leastMm: null, closedShare: 0 }
    return { leastMm: leastWallMm(surface, run), closedShare: share }
  }

  function platformUnder(at: Vec3, towards: Vec3, radiusMm: number): ProbedPlatform {
    const { platform, coronal } = line(at, towards)
    const apical = scale(coronal, -1)
    let steepestDeg = Number.NEGATIVE_INFINITY
    let rimOralMm = 0
    for (const [n, { direction, margin }] of margins.entries()) {
      const { rim, emergenceDeg } = emergenceAt(platform, apical, radiusMm, direction, margin)
      steepestDeg = Math.max(steepestDeg, emergenceDeg)
      if (n === 0) rimOralMm = margin[0] - rim[0]
    }
    return {
      belowMarginMm: platform[2] - crown.landmarks.zenith[2],
      crownHeightMm: platform[2] + crown.lengthMm,
      rimOralMm,
      steepestDeg,
    }
  }
}

/** How far inside the wanted zone an exit of a class lies: see `ProbedExit`. */
function insideWanted(
  crown: Crown,
  edgeBandMm: number,
): (exitClass: ExitClass, point: Vec3, offsetMm: number) => number | null {
  const wanted = wantedClass(crown)
  const distance = isPosterior(crown.tooth)
    ? (point: Vec3) => crown.occlusalTable && edgeDistanceMm(crown.occlusalTable, point[0], point[1])
    : (_: Vec3, offsetMm: number) => Math.abs(offsetMm + edgeBandMm)
  return (exitClass, point, offsetMm) => {
    const mm = distance(point, offsetMm)
    return mm === null || exitClass === wanted ? mm : -mm
  }
}
