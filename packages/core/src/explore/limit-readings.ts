import type { LimitValues } from '../assess/index.js'
import { sectorsOf } from '../assess/index.js'
import { isPosterior, isUpper } from '../crown/index.js'
import type { HeldLimit, WayOut } from './held-limit.js'
import type { BoneAtPose, ExitAtPose, PlatformAtPose, WallAtPose } from './pose-measures.js'

/** What is known of a pose. What was not measured is absent; null is measured and without a number. */
export interface MeasuredPose {
  readonly bone?: BoneAtPose
  readonly exit?: ExitAtPose
  readonly platform?: PlatformAtPose
  readonly wall?: WallAtPose
  /** Least bend to the wanted place, degrees. */
  readonly correctionDeg?: number | null
  /** Least bend that keeps the wall as well, degrees: takes the place of the other where it is known. */
  readonly correctionWithWallDeg?: number | null
  /** Distance to what is known not to be bone, mm; null when nothing is known, and then not held. */
  readonly clearanceMm?: number | null
}

/**
 * How a pose stands to the limits that a way is held to, always in the same order; what was not measured is left out.
 *
 * - Margins (not of `straight-graft`, where bone is added): `facialMarginMm` for the facial sector, `marginMm` for the
 *   others and for `nearest`. A sector on whose rays bone ends nowhere in range counts with the nearest distance, which is
 *   never more. Where data ends too soon, `nearest` has no number unless it is missed anyhow.
 * - `edgeBandMm` (straight ways): front teeth: value is the exit's offset from the incisal edge, facial positive, limit
 *   minus the band; others: value is how far inside the occlusal table the exit lies, limit 0. `reserve` is insideMm.
 * - `leastWallMm` (straight ways): a channel that is open at a side counts as a wall of 0 at most, less the missing share of
 *   the channel's diameter (own choice: worse than any thin wall, and the worse the more is missing). Left out where the
 *   channel is closed but nothing of its wall is left to measure, as in `retentionFindings`.
 * - `correctionDeg` (angled way): value is the least bend.
 * - Heights, depth of the platform, its place under the margin (upper front only), `marginMm` for `clearance`.
 */
export function limitReadings(
  way: WayOut,
  limits: LimitValues,
  tooth: string,
  measured: MeasuredPose,
): HeldLimit[] {
  const readings: HeldLimit[] = []
  const { bone, exit, wall, platform, clearanceMm } = measured
  const isStraight = way === 'straight' || way === 'straight-graft'
  if (bone && way !== 'straight-graft') readings.push(...marginReadings(bone, limits, tooth))
  if (exit && isStraight) readings.push(exitReading(exit, limits, tooth))
  if (wall && isStraight && (wall.leastMm !== null || wall.closedShare < 1))
    readings.push(wallReading(wall, limits))
  if (way === 'angled') readings.push(...bendReadings(measured, limits))
  if (platform) readings.push(...platformReadings(way, platform, limits, tooth))
  if (clearanceMm !== undefined && clearanceMm !== null)
    readings.push(least('marginMm', 'clearance', clearanceMm, limits))
  return readings
}

/** Whether a limit's value must not be smaller (`least`) or not be larger (`greatest`) than it. */
export const limitSide = (code: string, tooth: string): 'least' | 'greatest' =>
  code === 'edgeBandMm' && !isPosterior(tooth) ? 'greatest' : GREATEST.includes(code) ? 'greatest' : 'least'

const GREATEST: readonly string[] = ['platformDepthGreatestMm', 'rimOralGreatestMm', 'correctionDeg']

function least(code: string, where: string, value: number | null, limits: LimitValues): HeldLimit {
  const { value: limit, unit } = limits(code)
  return { code, where, unit, value, limit, reserve: value === null ? null : value - limit }
}

function greatest(code: string, value: number | null, limits: LimitValues): HeldLimit {
  const { value: limit, unit } = limits(code)
  return { code, where: '', unit, value, limit, reserve: value === null ? null : limit - value }
}

/** The margins of a pose against their limits: sectors, then `nearest`. See limitReadings. */
export function marginReadings(bone: BoneAtPose, limits: LimitValues, tooth: string): HeldLimit[] {
  const { nearestMm, openShare } = bone
  const nearest = least('marginMm', 'nearest', nearestMm, limits)
  const unknown = openShare > 0 && nearest.reserve !== null && nearest.reserve >= 0
  return [
    ...sectorsOf(tooth).map(({ name }) =>
      least(name === 'facial' ? 'facialMarginMm' : 'marginMm', name, bone.sectors[name] ?? nearestMm, limits),
    ),
    unknown ? { ...nearest, value: null, reserve: null } : nearest,
  ]
}

function exitReading({ offsetMm, insideMm }: ExitAtPose, limits: LimitValues, tooth: string): HeldLimit {
  const { value: band, unit } = limits('edgeBandMm')
  const isFront = !isPosterior(tooth)
  return {
    code: 'edgeBandMm',
    where: '',
    unit,
    value: isFront ? offsetMm : insideMm,
    limit: isFront ? -band : 0,
    reserve: insideMm,
  }
}

function wallReading({ leastMm, closedShare }: WallAtPose, limits: LimitValues): HeldLimit {
  const missingMm = (1 - closedShare) * limits('channelDiameterMm').value
  const value = closedShare < 1 ? Math.min(leastMm ?? 0, 0) - missingMm : leastMm
  return least('leastWallMm', '', value, limits)
}

function bendReadings(
  { correctionDeg, correctionWithWallDeg }: MeasuredPose,
  limits: LimitValues,
): HeldLimit[] {
  const bendDeg = correctionWithWallDeg === undefined ? correctionDeg : correctionWithWallDeg
  return bendDeg === undefined ? [] : [greatest('correctionDeg', bendDeg, limits)]
}

function platformReadings(
  way: WayOut,
  { crownHeightMm, belowMarginMm, rimOralMm }: PlatformAtPose,
  limits: LimitValues,
  tooth: string,
): HeldLimit[] {
  const height = way === 'cemented' ? 'crownHeightCementMm' : 'crownHeightScrewMm'
  const readings = [
    least(height, '', crownHeightMm, limits),
    least('platformDepthLeastMm', '', belowMarginMm, limits),
    greatest('platformDepthGreatestMm', belowMarginMm, limits),
  ]
  // The band was told of the upper front: see placeFinding of the assessment.
  if (isUpper(tooth) && !isPosterior(tooth))
    readings.push(
      least('rimOralLeastMm', '', rimOralMm, limits),
      greatest('rimOralGreatestMm', rimOralMm, limits),
    )
  return readings
}
