import {
  add,
  along,
  column,
  cross,
  dot,
  fixtureFrame,
  limitsFor,
  normalize,
  type PlacedCrown,
  type Plan,
  scale,
  type Vec3,
} from '@alveometer/core'

/** The centre line of a bent channel in the section: where it bends, and a direction coronally from there. */
export interface BentLine {
  readonly pivot: Vec3
  readonly direction: Vec3
}

/**
 * A bend drawn within the section's plane, as most of a bend lies there: at its full size, towards the side that brings
 * the exit to where it is wanted. Null where the fixture does not run coronally.
 *
 * @param towardsFacial the straight exit lies oral of the wanted place.
 */
export function bentLine(
  plan: Plan,
  placed: PlacedCrown,
  bendDeg: number,
  towardsFacial: boolean,
): BentLine | null {
  const { x, z, origin } = fixtureFrame(plan.fixture, plan.site.facial)
  const straight = scale(z, -1)
  const climb = dot(straight, scale(normalize(column(placed.pose, 2)), -1))
  const heightMm =
    plan.limits.bendPivotMm ??
    limitsFor(plan.site.tooth).find(({ code }) => code === 'bendPivotMm')?.value ??
    0
  if (climb < 1e-6) return null
  const turn = ((towardsFacial ? 1 : -1) * bendDeg * Math.PI) / 180
  return {
    pivot: along(origin, straight, heightMm / climb),
    direction: add(scale(straight, Math.cos(turn)), scale(x, Math.sin(turn))),
  }
}

/** The end of a bent line a little beyond a crown's far end: the furthest of its outline along the line, mm. */
export function reachMm({ pivot, direction }: BentLine, outline: readonly (readonly Vec3[])[]): number {
  const far = outline.flat().reduce((most, p) => Math.max(most, dot(add(p, scale(pivot, -1)), direction)), 0)
  return far + 2
}

/** The bent channel's walls as the section sees them: two lines beside its centre line. */
export function bentWalls({ pivot, direction }: BentLine, normal: Vec3, radiusMm: number, reach: number) {
  const across = normalize(cross(direction, normal))
  return [-radiusMm, radiusMm].map((r) => {
    const start = along(pivot, across, r)
    return [start, along(start, direction, reach)] as const
  })
}
