import type { ExploredSite } from './explored-site.js'
import type { HeldLimit, WayOut } from './held-limit.js'
import { limitReadings, type MeasuredPose, marginReadings } from './limit-readings.js'
import type { FixturePose } from './pose.js'
import type { PoseMeter } from './pose-meter.js'
import { DEG_A_MM } from './way-space.js'

/** What stands for a reserve that could not be measured, mm: worse than any that was. Own choice. */
const UNMEASURED_MM = -20
/** What stands for the bend where none brings the exit to its place, degrees: worse than any that does. */
const NO_BEND_DEG = 90
/** What stands for a graft that was not measured, mm3: more than any. */
const UNMEASURED_MM3 = 2000
/** What stands for the reserve of a wall of which nothing is left to measure, mm: it is not held. */
const NO_WALL_MM = 5
/** So much graft is held for as much as a millimetre, mm3: what a fixture's side takes when it moves by that. Own choice. */
export const MM3_A_MM = 20

/** How a pose stands to a way, all in mm (see DEG_A_MM, MM3_A_MM). */
export interface WayValues {
  /** Reserves of the margins. */
  readonly margins: readonly number[]
  /** Reserves of all other limits that the way is held to, always in the same order. */
  readonly others: readonly number[]
  /** The bend; 0 where it was not measured. */
  readonly bend: number
  /** The graft; more than any where it was not measured. */
  readonly graft: number
}

/** How much of a pose is measured: without the wall a way is looser than it is, and much cheaper. */
export type Look = 'all' | 'without-wall'

/** What a way is held to and searched for is measured, and nothing else. */
export function measureFor(way: WayOut, meter: PoseMeter, pose: FixturePose, look: Look): MeasuredPose {
  const common = {
    platform: meter.platform(pose),
    clearanceMm: meter.clearanceMm(pose),
    bone: meter.bone(pose, way === 'straight-graft'),
  }
  if (way === 'cemented') return common
  if (way === 'angled')
    return look === 'all'
      ? { ...common, correctionWithWallDeg: meter.correctionWithWallDeg(pose) }
      : { ...common, correctionDeg: meter.correctionDeg(pose) }
  const exit = meter.exit(pose)
  return look === 'all' ? { ...common, exit, wall: meter.wall(pose) } : { ...common, exit }
}

export function wayValues(
  way: WayOut,
  { limits, plan }: Pick<ExploredSite, 'limits' | 'plan'>,
  measured: MeasuredPose,
): WayValues {
  const { tooth } = plan.site
  const { bone, wall, correctionDeg, correctionWithWallDeg } = measured
  const others = limitReadings(way, limits, tooth, measured).filter((held) => !isMargin(held))
  const reserves = others.map(reserveMm)
  // A wall of which nothing is left to measure is not read: what is always there keeps the order.
  if (wall !== undefined && !others.some(({ code }) => code === 'leastWallMm'))
    reserves.splice(1, 0, NO_WALL_MM)
  const bendDeg = correctionWithWallDeg === undefined ? correctionDeg : correctionWithWallDeg
  return {
    margins: bone === undefined ? [] : marginReadings(bone, limits, tooth).map(reserveMm),
    others: reserves,
    bend: bendDeg === undefined ? 0 : (bendDeg ?? NO_BEND_DEG) / DEG_A_MM,
    graft: (bone?.graftMm3 ?? UNMEASURED_MM3) / MM3_A_MM,
  }
}

/** Whether a reading is one of bone round the fixture. */
export const isMargin = ({ code, where }: HeldLimit): boolean =>
  code === 'facialMarginMm' || (code === 'marginMm' && where !== 'clearance')

/** A reserve in mm: see DEG_A_MM. */
export const reserveMm = ({ reserve, unit }: HeldLimit): number =>
  reserve === null ? UNMEASURED_MM : unit === 'deg' ? reserve / DEG_A_MM : reserve
