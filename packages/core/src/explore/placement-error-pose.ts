import { plusYSide } from '../crown/index.js'
import { fixtureFrame } from '../fixture/index.js'
import type { Plan } from '../plan/index.js'
import { along, scale, type Vec3 } from '../space/index.js'
import type { PlacementError } from './miss-cloud-result.js'
import type { FixturePose } from './pose.js'

/** Standard normals that a placement takes: entry facial, mesial and apical, tilt of the apex facial and mesial. */
export const NORMALS_OF_A_POSE = 5

/**
 * Where a placement ends up: `normals` from `first` on, their error times `factor`. One rigid motion: the platform is moved
 * along the plan's fixture frame, and the axis is turned about the platform, round a line perpendicular to it.
 */
export type Misplace = (normals: Float64Array, first: number, factor?: number) => FixturePose

/** @throws RangeError when the fixture's axis points in the site's facial direction. */
export function misplacing(
  { fixture, site }: Pick<Plan, 'fixture' | 'site'>,
  { entrySdMm, tiltSdDeg, correlation }: PlacementError,
): Misplace {
  const { x, y, z } = fixtureFrame(fixture, site.facial)
  const mesial: Vec3 = plusYSide(site.tooth) === 'mesial' ? y : scale(y, -1)
  const own = Math.sqrt(1 - correlation * correlation)
  const tiltSd = (tiltSdDeg * Math.PI) / 180
  return (normals, first, factor = 1) => {
    const toFacial = normals[first]
    const toMesial = normals[first + 1]
    const tiltFacial = factor * tiltSd * (correlation * toFacial + own * normals[first + 3])
    const tiltMesial = factor * tiltSd * (correlation * toMesial + own * normals[first + 4])
    const sideways = along(fixture.platform, x, factor * entrySdMm.facial * toFacial)
    const entry = along(sideways, mesial, factor * entrySdMm.mesial * toMesial)
    const angle = Math.hypot(tiltFacial, tiltMesial)
    // sin(angle) / angle, which is 1 where there is no angle.
    const lean = angle === 0 ? 1 : Math.sin(angle) / angle
    const upright = scale(z, Math.cos(angle))
    return {
      platform: along(entry, z, factor * entrySdMm.apical * normals[first + 2]),
      apical: along(along(upright, x, lean * tiltFacial), mesial, lean * tiltMesial),
    }
  }
}
