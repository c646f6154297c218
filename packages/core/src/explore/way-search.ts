import type { ExploredSite } from './explored-site.js'
import type { WayOut } from './held-limit.js'
import type { PoseMeter } from './pose-meter.js'
import { bestFirst, climb, type Found, type Hill } from './way-climb.js'
import { boneGoal, firstGoal, secondGoal, violationGoal, type WayGoal } from './way-goals.js'
import { otherDepths, otherTilts } from './way-hollows.js'
import { apartMm, type Place, type WaySpace } from './way-space.js'
import { leastKept, standing } from './way-standing.js'
import { type LatticePlace, startsFor } from './way-starts.js'
import { type Look, measureFor, wayValues } from './way-values.js'

/** Climbs that mind the wall begin at so many of the summits found without it, and at so many places of the lattice. */
const SUMMITS = 2
const WALLED_STARTS = 5
/** Of so many good places of the lattice the wall is measured: bends that keep it take ten times as long. */
const WALLED_LOOKS = { exit: 24, bend: 12 } as const
/** A summit that minds the wall and is lower by no more is as high, mm: less than is printed of a bend. */
const SAME_MM = 0.005
/** All climbs go so many rounds; so many go on. Own choice: those that come first lead by then. */
const SCOUT_ROUNDS = 8
const FINISHED = 3
/** Starts from the lattice where limits cannot be kept together. */
const VIOLATED_STARTS = 2
/** Bends that keep the wall are found in steps of their own and tremble by hundredths of a degree: over 0.3 degrees they slope. */
const BEND_SLOPE_MM = 0.06
/** Summits lie apart, mm. */
const SAME_SUMMIT_MM = 0.3
/** Rounds of a climb for the first, coarse answer. */
const FIRST_ROUNDS = 14

/** What a way is searched on. */
export interface WayQuestion {
  readonly site: ExploredSite
  readonly meter: PoseMeter
  readonly space: WaySpace
  readonly way: WayOut
  readonly inHandMm: number
  /** Called for every pose that is measured. */
  readonly onPose: () => void
}

/** A first answer from one start. */
export function* firstSearch(
  question: WayQuestion,
  lattice: readonly LatticePlace[],
): Generator<unknown, Place> {
  const { way, inHandMm } = question
  const goal = firstGoal(way, inHandMm)
  const [start] = startsFor(lattice, way, goal, 1)
  // The bend that keeps the wall takes too long for a first answer.
  const look = way === 'angled' ? 'without-wall' : 'all'
  const found = yield* climb(hillOf(question, goal, look), start, FIRST_ROUNDS)
  return found.place
}

/**
 * The best placement of a way: by its goal where its limits can be kept; else by bone alone where those of channel and
 * platform can; else that with the least worst violation.
 * @param also places to start from besides those of the lattice.
 * @param starts so many of the lattice.
 */
export function* searchWay(
  question: WayQuestion,
  lattice: readonly LatticePlace[],
  also: readonly Place[],
  starts: number,
): Generator<unknown, Place> {
  const { way, inHandMm, site, meter, space } = question
  const goal = firstGoal(way, inHandMm)
  const first = yield* summit(question, lattice, goal, [...startsFor(lattice, way, goal, starts), ...also])
  if (leastKept(first.standing) >= 0) {
    const measured = measureFor(way, meter, space.poseAt(first.place), 'all')
    const second = secondGoal(way, wayValues(way, site, measured), inHandMm)
    if (second === null) return first.place
    const found = yield* climb(hillOf(question, second, 'all'), first.place)
    return leastKept(found.standing) >= 0 ? found.place : first.place
  }
  if (way === 'angled') {
    const places = [...startsFor(lattice, way, boneGoal, starts), ...also, first.place]
    const bone = yield* summit(question, lattice, boneGoal, places)
    if (leastKept(bone.standing) >= 0) return bone.place
  }
  const violation = violationGoal(way, inHandMm)
  const places = [...startsFor(lattice, way, violation, VIOLATED_STARTS), ...also, first.place]
  return (yield* summit(question, lattice, violation, places)).place
}

/** The best of climbs from several places: without the wall first, and with it from the best of those where it matters. */
function* summit(
  question: WayQuestion,
  lattice: readonly LatticePlace[],
  goal: WayGoal,
  starts: readonly Place[],
): Generator<unknown, Found> {
  const isAngled = question.way === 'angled'
  const loose = yield* summits(hillOf(question, goal, 'without-wall'), starts, [otherDepths])
  // Where the limits cannot be kept without minding the wall, they cannot with it.
  if (question.way === 'cemented' || leastKept(loose[0].standing) < 0) return loose[0]
  const hill = hillOf(question, goal, 'all')
  const walled = loose.map(({ place }) => ({ place, standing: hill.look(place) }))
  // What is best without minding the wall, and keeps it, is best.
  const lostMm = loose[0].standing.goal - walled[0].standing.goal
  if (lostMm < SAME_MM && leastKept(walled[0].standing) >= 0) return walled[0]
  const count = WALLED_LOOKS[isAngled ? 'bend' : 'exit']
  const looked = [...startsFor(lattice, question.way, goal, count), ...starts]
    .map((place) => ({ place, standing: hill.look(place) }))
    .sort(bestFirst)
  const places = [...walled.slice(0, SUMMITS), ...looked.slice(0, WALLED_STARTS)].map(({ place }) => place)
  // A bend finds its way round a ledge of the crown by itself.
  return (yield* summits(hill, places, isAngled ? [] : [otherDepths, otherTilts]))[0]
}

/**
 * Where climbs end, the best first, each summit once. All begin; those that came highest go on. Then once more from other
 * places about the best, across hollows that climbs do not cross.
 */
function* summits(
  hill: Hill,
  starts: readonly Place[],
  across: readonly ((hill: Hill, from: Found) => Place[])[],
): Generator<unknown, Found[]> {
  const ended = yield* highest(hill, starts, FINISHED)
  const others = across.flatMap((placesAbout) => placesAbout(hill, ended[0].at))
  return apart([...ended, ...(yield* highest(hill, others, across.length))]).map(({ at }) => at)
}

/** The climbs that come highest, ended, the best first. */
function* highest(hill: Hill, starts: readonly Place[], count: number): Generator<unknown, Climb[]> {
  const begun: Climb[] = []
  for (const start of starts) begun.push(yield* advanced(climb(hill, start), SCOUT_ROUNDS))
  const ended: Climb[] = []
  for (const one of apart(begun).slice(0, count))
    ended.push(one.done ? one : yield* advanced(one.steps, Number.POSITIVE_INFINITY))
  return apart(ended)
}

interface Climb {
  readonly steps: Generator<Found, Found>
  readonly at: Found
  readonly done: boolean
}

/** A climb so many rounds on, or to its end. */
function* advanced(steps: Generator<Found, Found>, rounds: number): Generator<unknown, Climb> {
  for (let round = 0; ; round++) {
    const { value, done = false } = steps.next()
    if (done || round === rounds) return { steps, at: value, done }
    yield
  }
}

/** The best first, and of those that are as good as at one place only that. */
function apart(climbs: readonly Climb[]): Climb[] {
  const sorted = [...climbs].sort((a, b) => bestFirst(a.at, b.at))
  return sorted.filter(
    ({ at }, n) => sorted.findIndex((other) => apartMm(other.at.place, at.place) < SAME_SUMMIT_MM) === n,
  )
}

/** The hill of a goal: how every place stands to it. */
export function hillOf(question: WayQuestion, goal: WayGoal, look: Look): Hill {
  const { site, meter, space, way, onPose } = question
  return {
    low: space.low,
    high: space.high,
    ...(way === 'angled' && look === 'all' ? { slopeMm: BEND_SLOPE_MM } : {}),
    look: (place) => {
      onPose()
      const values = wayValues(way, site, measureFor(way, meter, space.poseAt(place), look))
      return standing(goal.pieces(values), goal.kept(values))
    },
  }
}
