import type { ExploredSite } from './explored-site.js'
import type { HeldLimit, WayOut } from './held-limit.js'
import { limitReadings, type MeasuredPose, marginReadings } from './limit-readings.js'
import type { FixturePose } from './pose.js'
import type { PoseMeasures } from './pose-measures.js'
import type { PoseMeter } from './pose-meter.js'
import { EXACT } from './way-digits.js'
import { SAME_BEND_DEG } from './way-goals.js'
import { isMargin, reserveMm } from './way-values.js'
import { type Searched, wayWords } from './way-words.js'
import type { WayFound, WayObjective } from './ways-out-result.js'

/** A reserve that is used up: none is left that anybody could use. Own choice. */
const USED_UP = { mm: 0.05, deg: 0.5 } as const

/** Everything cheap about a pose, the graft too. */
export function measuresAt(meter: PoseMeter, pose: FixturePose): PoseMeasures {
  const exit = meter.exit(pose)
  return {
    ...meter.bone(pose, true),
    ...exit,
    // 0 and not -0: it does not outlive JSON.
    tiltFacialDeg: exit.tiltFacialDeg + 0,
    tiltMesialDeg: exit.tiltMesialDeg + 0,
    correctionDeg: meter.correctionDeg(pose),
    clearanceMm: meter.clearanceMm(pose),
  }
}

/** A placement of a way, as it is told. */
export function wayFound(
  way: WayOut,
  site: ExploredSite,
  meter: PoseMeter,
  pose: FixturePose,
  searched: Searched,
): WayFound {
  const { inHandMm } = searched
  const { tooth } = site.plan.site
  const measures = measuresAt(meter, pose)
  const platform = meter.platform(pose)
  const wall = meter.wall(pose)
  const walledDeg = way === 'angled' ? meter.correctionWithWallDeg(pose) : null
  const measured: MeasuredPose = {
    ...{ bone: measures, exit: measures, platform, wall, clearanceMm: measures.clearanceMm },
    ...(way === 'angled' ? { correctionWithWallDeg: walledDeg } : {}),
  }
  const held = limitReadings(way, site.limits, tooth, measured)
  const margins = marginReadings(measures, site.limits, tooth)
  const wanted = (limit: HeldLimit): number => (isMargin(limit) ? inHandMm : 0)
  const isMissed = (limit: HeldLimit): boolean =>
    limit.reserve === null || limit.reserve < wanted(limit) - EXACT
  const objective = objectiveOf(way, margins, measures, walledDeg)
  const exists = !held.some(isMissed)
  const inHand = (limit: HeldLimit): number =>
    limit.reserve === null ? Number.NEGATIVE_INFINITY : limit.reserve - wanted(limit)
  const isUsedUp = (limit: HeldLimit): boolean => inHand(limit) < USED_UP[limit.unit]
  /** What is searched for is bone itself: the least margins are what it ends at. */
  const leastMargin = Math.min(...margins.map(reserveMm)) + USED_UP.mm
  const isLeast = (limit: HeldLimit): boolean => isMargin(limit) && reserveMm(limit) < leastMargin
  const binds =
    objective.name === 'reserve'
      ? (limit: HeldLimit) => (isMargin(limit) ? isLeast(limit) : isUsedUp(limit))
      : isUsedUp
  const found = {
    ...{ way, exists, pose, shape: meter.shape, objective, measures, platform, wall },
    bendDeg: walledDeg,
    held,
    binding: exists && !isPerfect(objective) ? held.filter(binds) : [],
    conflict: exists
      ? []
      : held
          .filter((limit) => isUsedUp(limit) || isLeast(limit))
          .sort((a, b) => reserveMm(a) - wanted(a) - (reserveMm(b) - wanted(b))),
  }
  return { ...found, words: wayWords(found, tooth, searched) }
}

/** Nothing can be better than no graft and no bend. */
const isPerfect = ({ name, value }: WayObjective): boolean =>
  (name === 'graft' && value === 0) || (name === 'bend' && value <= SAME_BEND_DEG)

function objectiveOf(
  way: WayOut,
  margins: readonly HeldLimit[],
  { graftMm3, correctionDeg }: PoseMeasures,
  walledDeg: number | null,
): WayObjective {
  if (way === 'straight-graft') return { name: 'graft', value: graftMm3 ?? 0, unit: 'mm3' }
  if (way === 'angled') return { name: 'bend', value: walledDeg ?? correctionDeg ?? NO_BEND_DEG, unit: 'deg' }
  // A margin without a number is no bone at all: it misses its limit by the whole of it.
  const reserves = margins.map(({ reserve, limit }) => reserve ?? -limit)
  return { name: 'reserve', value: Math.min(...reserves), unit: 'mm' }
}

/** What is told where no bend brings the exit to its place: no component bends by more. */
const NO_BEND_DEG = 60
