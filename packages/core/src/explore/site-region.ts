import { fixtureProfile } from '../fixture/index.js'
import type { PlacedCrown, Plan } from '../plan/index.js'
import { add, along, column, normalize, scale, transformPoint, type Vec3 } from '../space/index.js'

/** An LPS box, mm. */
export interface SiteRegion {
  readonly lowMm: Vec3
  readonly highMm: Vec3
}

/** How far platforms may lie from the crown's long axis, and above and below its cervix, mm; axes may tilt so far, degrees. */
const FACIAL_MM = 4
const MESIAL_MM = 2
const ABOVE_MM = 2
const BELOW_MM = 7
const FACIAL_DEG = 35
const MESIAL_DEG = 15
/** The longest fixture that is placed, mm, unless the plan's is longer. */
const LENGTH_MM = 13
/** Round an axis: half a wide fixture, the bone that is wanted beside it, and somewhat more to tell it by. */
const ROUND_MM = 6

/**
 * The box round all places that the explorers look at: fixtures under the crown, and the planned one with the chart's
 * tilts. Its corners lie on whole millimetres of the grid, so that a small move of the crown asks for the same box.
 */
export function siteRegion(plan: Plan, { pose }: PlacedCrown): SiteRegion {
  const [facial, mesial, apical] = [column(pose, 0), column(pose, 1), column(pose, 2)].map(normalize)
  const cervix = transformPoint(pose, [0, 0, 0])
  const { lengthMm } = fixtureProfile(plan.fixture.shape)
  const reachMm = Math.max(LENGTH_MM, lengthMm)
  const points: Vec3[] = []
  const cone = (platform: Vec3): void => {
    points.push(platform)
    for (const f of [-1, 1])
      for (const m of [-1, 1]) {
        const tilted = along(along(apical, facial, f * tangent(FACIAL_DEG)), mesial, m * tangent(MESIAL_DEG))
        points.push(along(platform, normalize(tilted), reachMm))
      }
    points.push(along(platform, apical, reachMm))
  }
  for (const f of [-FACIAL_MM, FACIAL_MM])
    for (const m of [-MESIAL_MM, MESIAL_MM])
      for (const a of [-ABOVE_MM, BELOW_MM])
        cone(add(cervix, add(along(scale(facial, f), mesial, m), scale(apical, a))))
  const planned = normalize(plan.fixture.apical)
  for (const at of [plan.fixture.platform, along(plan.fixture.platform, planned, lengthMm)]) {
    cone(at)
    cone(along(at, planned, -lengthMm))
  }
  const extreme = (pick: (...v: number[]) => number, by: number, round: (v: number) => number): Vec3 => {
    const of = (a: 0 | 1 | 2): number => round(pick(...points.map((p) => p[a])) + by)
    return [of(0), of(1), of(2)]
  }
  return { lowMm: extreme(Math.min, -ROUND_MM, Math.floor), highMm: extreme(Math.max, ROUND_MM, Math.ceil) }
}

const tangent = (degrees: number): number => Math.tan((degrees * Math.PI) / 180)
