import type { Vec3 } from '../space/index.js'
import { along } from '../space/index.js'
import { lastCrossing } from '../space/mesh-tree.js'
import { type Axis, axisAlong } from '../space/mesh-tree-axis.js'
import { exitPlace, type FixtureLine, fixtureLine, wantedClass } from './access-exit.js'
import { type ChannelQuestion, channelLimits } from './channel-question.js'
import type { ChannelLimits } from './channel-result.js'
import { type ChannelRun, runChannel } from './channel-run.js'
import { type ChannelSurface, channelSurface } from './channel-surface.js'
import type { BelowBend } from './channel-wall.js'
import type { CrownRegion } from './crown.js'
import { isPosterior } from './tooth.js'

/** A fixture's line through a crown and the place on it where a channel may bend, in the crown frame. */
export interface BendPlace {
  readonly surface: ChannelSurface
  readonly limits: ChannelLimits
  /** From the platform along the fixture axis, u facial. */
  readonly straight: Axis
  /** Along the fixture axis from the platform to the bend, mm. */
  readonly pivotMm: number
  readonly pivot: Vec3
}

/** Climbs less steep than this do not reach the height of the bend. */
const LEAST_CLIMB = 1e-6

/**
 * The bend of a question: bendPivotMm above the platform along the crown's long axis; null when the fixture axis does
 * not run coronally.
 * @throws RangeError as `accessChannel`.
 */
export function bendPlace(question: ChannelQuestion): BendPlace | null {
  const limits = channelLimits(question)
  return bendPlaceOn(channelSurface(question.crown), limits, fixtureLine(question))
}

/** The same for a fixture's line in the crown frame. */
export function bendPlaceOn(
  surface: ChannelSurface,
  limits: ChannelLimits,
  { platform, coronal }: FixtureLine,
): BendPlace | null {
  const climb = -coronal[2]
  if (!(climb > LEAST_CLIMB)) return null
  const pivotMm = limits.bendPivotMm / climb
  return {
    surface,
    limits,
    straight: axisAlong(platform, coronal, [1, 0, 0]),
    pivotMm,
    pivot: along(platform, coronal, pivotMm),
  }
}

/** The direction `bendDeg` off the fixture axis, towards `azimuthDeg`: 0 facial, 90 the side of +v. */
export function bentDirection({ straight }: BendPlace, bendDeg: number, azimuthDeg: number): Vec3 {
  const { direction, u, v } = straight
  const bend = radians(bendDeg)
  const azimuth = radians(azimuthDeg)
  const aside = along(along([0, 0, 0], u, Math.cos(azimuth)), v, Math.sin(azimuth))
  return along(along([0, 0, 0], direction, Math.cos(bend)), aside, Math.sin(bend))
}

const radians = (deg: number): number => (deg * Math.PI) / 180

/** Where a channel ends: the last crossing of a ray with the crown. */
export interface BentExit {
  readonly point: Vec3
  readonly region: CrownRegion
}

export function exitAlong({ surface }: BendPlace, from: Vec3, direction: Vec3): BentExit | null {
  const hit = lastCrossing(surface.tree, from, direction)
  if (hit === null) return null
  return { point: along(from, direction, hit.distance), region: surface.crown.regions[hit.triangle] }
}

/** Whether an exit lies where it is wanted: wantedPalatalMm or more behind the edge, in the occlusal table on posterior teeth. */
export function isWanted({ surface: { crown }, limits }: BendPlace, exit: BentExit | null): boolean {
  if (exit === null || exit.region === 'base') return false
  const place = exitPlace(crown, exit.point, exit.region, limits.edgeBandMm)
  if (place.class !== wantedClass(crown)) return false
  return isPosterior(crown.tooth) || place.offsetMm <= -limits.wantedPalatalMm
}

/** What of the straight channel lies below the bend; null when that misses the crown. */
export function belowBend({ surface, straight, limits, pivotMm }: BendPlace): BelowBend | null {
  const run = runChannel(surface, straight, limits.channelDiameterMm / 2)
  return run && { run, toMm: pivotMm }
}

/** The channel from the bend on in a direction; null when its axis misses the crown. */
export const bentRun = (
  { surface, pivot, limits }: BendPlace,
  direction: Vec3,
  lines?: number,
): ChannelRun | null =>
  runChannel(surface, axisAlong(pivot, direction, [1, 0, 0]), limits.channelDiameterMm / 2, lines)
