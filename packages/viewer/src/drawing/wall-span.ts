import {
  type AccessChannel,
  along,
  dot,
  length,
  limitsFor,
  normalize,
  type Plan,
  subtract,
  type Vec3,
  type WallAt,
} from '@alveometer/core'

/** The least wall of a channel as a distance between two points, LPS mm. */
export interface WallSpan {
  readonly mm: number
  /** On the channel's wall, and on the crown. */
  readonly inner: Vec3
  readonly outer: Vec3
  readonly below: boolean
}

/** Where a wall is measured: from the channel's wall straight out to the place on the crown; null without a number. */
export function wallSpan(plan: Plan, channel: AccessChannel, wall: WallAt | null): WallSpan | null {
  if (wall === null) return null
  const axis = normalize(plan.fixture.apical)
  const foot = along(plan.fixture.platform, axis, dot(subtract(wall.at, plan.fixture.platform), axis))
  const out = subtract(wall.at, foot)
  const size = length(out)
  if (!(size > 1e-9)) return null
  const least = limitOf(plan, 'leastWallMm')
  return {
    mm: wall.mm,
    inner: along(foot, out, channel.diameterMm / 2 / size),
    outer: wall.at,
    below: wall.mm < (least ?? 0),
  }
}

/** A limit in force for a plan; undefined where there is none of that code. */
export const limitOf = (plan: Plan, code: string): number | undefined =>
  plan.limits[code] ?? limitsFor(plan.site.tooth).find((limit) => limit.code === code)?.value
