import type { ExploredSite } from './explored-site.js'
import { type HeldLimit, isCounted, type LimitsCounted, type WayOut } from './held-limit.js'
import { limitReadings, type MeasuredPose } from './limit-readings.js'
import type { FixturePose } from './pose.js'
import type { BoneAtPose } from './pose-measures.js'

/** Reserves smaller than this are held: what adding and taking away leaves of nought, mm or degrees. */
const NOUGHT = 1e-9

/** Measures of a pose what a way is held to. */
export interface WayMeter {
  measure(pose: FixturePose): MeasuredPose
  /** @param shiftMm how much farther out the surface of bone lies than it was found. */
  readings(measured: MeasuredPose, shiftMm: number): readonly HeldLimit[]
  /** Whether all limits that count are held; as soon as one is missed the rest is not measured. */
  keepsAll(pose: FixturePose, shiftMm: number): boolean
}

/** NaN and null: could not be measured, and is missed. */
export const isReserve = (reserve: number | null): boolean => reserve !== null && reserve >= -NOUGHT

export const isHeld = ({ reserve }: HeldLimit): boolean => isReserve(reserve)

/** The wall round the channel is left out: it takes longer than everything else together. */
export function wayMeter(site: ExploredSite, way: WayOut, counted: LimitsCounted): WayMeter {
  const meter = site.meter()
  const { limits } = site
  const { tooth } = site.plan.site
  const readings = (measured: MeasuredPose, shiftMm: number): readonly HeldLimit[] =>
    limitReadings(way, limits, tooth, shifted(measured, shiftMm))
  const isKept = (reading: HeldLimit): boolean => !isCounted(counted, reading) || isHeld(reading)
  const quick = (pose: FixturePose): MeasuredPose => ({
    platform: meter.platform(pose),
    clearanceMm: meter.clearanceMm(pose),
    ...(way === 'straight' || way === 'straight-graft' ? { exit: meter.exit(pose) } : {}),
    ...(way === 'angled' ? { correctionDeg: meter.correctionDeg(pose) } : {}),
  })
  const bone = (pose: FixturePose): MeasuredPose =>
    way === 'straight-graft' ? {} : { bone: meter.bone(pose) }
  return {
    measure: (pose) => ({ ...quick(pose), ...bone(pose) }),
    readings,
    keepsAll: (pose, shiftMm) =>
      readings(quick(pose), shiftMm).every(isKept) && readings(bone(pose), shiftMm).every(isKept),
  }
}

const shifted = (measured: MeasuredPose, shiftMm: number): MeasuredPose =>
  measured.bone === undefined || shiftMm === 0
    ? measured
    : { ...measured, bone: shiftedBone(measured.bone, shiftMm) }

function shiftedBone(bone: BoneAtPose, shiftMm: number): BoneAtPose {
  const moved = (mm: number | null): number | null => (mm === null ? null : mm + shiftMm)
  const sectors: Record<string, number | null> = {}
  for (const name of Object.keys(bone.sectors)) sectors[name] = moved(bone.sectors[name])
  return { ...bone, sectors, radialMm: moved(bone.radialMm), nearestMm: moved(bone.nearestMm) }
}
