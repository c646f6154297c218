import type { SiteRegion } from '../bone/index.js'
import { fixtureProfile } from '../fixture/index.js'
import type { PlacedCrown, Plan } from '../plan/index.js'
import { add, along, column, normalize, scale, transformPoint, type Vec3 } from '../space/index.js'

/** How far platforms may lie from the crown's long axis, and below its cervix, mm; axes may tilt so far, degrees. */
const FACIAL_MM = 4
const MESIAL_MM = 2
const BELOW_MM = [0, 6] as const
const FACIAL_DEG = 35
const MESIAL_DEG = 15
/** A chart moves the planned fixture so far along its axis or facially. */
const MOVED_MM = 3
/** Round an axis: half a wide fixture, the bone that is wanted beside it, and somewhat more to tell it by. */
const ROUND_MM = 5

/**
 * The box round all places that the explorers look at: fixtures under the crown, and the planned one as charts tilt and
 * move it. Its corners lie on whole millimetres, so that a small move of the crown asks for the same box.
 */
export function siteRegion(plan: Plan, { pose }: PlacedCrown, longestMm = 0): SiteRegion {
  const [facial, mesial, apical] = [column(pose, 0), column(pose, 1), column(pose, 2)].map(normalize)
  const cervix = transformPoint(pose, [0, 0, 0])
  const lengthMm = Math.max(longestMm, fixtureProfile(plan.fixture.shape).lengthMm)
  const points: Vec3[] = []
  /** Both ends of fixtures tilted as far as they may be, about one end. */
  const tilted = (end: Vec3, towards: number): void => {
    points.push(end, along(end, apical, towards))
    for (const f of [-1, 1])
      for (const m of [-1, 1]) {
        const axis = along(along(apical, facial, f * tangent(FACIAL_DEG)), mesial, m * tangent(MESIAL_DEG))
        points.push(along(end, normalize(axis), towards))
      }
  }
  for (const f of [-FACIAL_MM, FACIAL_MM])
    for (const m of [-MESIAL_MM, MESIAL_MM])
      for (const a of BELOW_MM)
        tilted(add(cervix, add(along(scale(facial, f), mesial, m), scale(apical, a))), lengthMm)
  const { platform } = plan.fixture
  const planned = normalize(plan.fixture.apical)
  for (const by of [-MOVED_MM, MOVED_MM])
    for (const step of [planned, facial]) {
      tilted(along(platform, step, by), lengthMm)
      tilted(along(along(platform, planned, lengthMm), step, by), -lengthMm)
    }
  const extreme = (pick: (...v: number[]) => number, by: number, round: (v: number) => number): Vec3 => {
    const of = (a: 0 | 1 | 2): number => round(pick(...points.map((p) => p[a])) + by)
    return [of(0), of(1), of(2)]
  }
  return { lowMm: extreme(Math.min, -ROUND_MM, Math.floor), highMm: extreme(Math.max, ROUND_MM, Math.ceil) }
}

const tangent = (degrees: number): number => Math.tan((degrees * Math.PI) / 180)
