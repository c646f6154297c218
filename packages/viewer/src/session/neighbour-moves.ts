import type { NeighbourMarks, Plan, Vec3 } from '@alveometer/core'

export type NeighbourSide = 'mesial' | 'distal'

/** The plan with a place on a tooth beside the gap, LPS mm; null takes the mark away. */
export function markNeighbour(
  plan: Plan,
  side: NeighbourSide,
  mark: keyof NeighbourMarks,
  at: Vec3 | null,
): Plan {
  const { neighbours, ...site } = plan.site
  const { [mark]: _, ...others } = neighbours?.[side] ?? {}
  const marks: NeighbourMarks = at === null ? others : { ...others, [mark]: at }
  return { ...plan, site: { ...site, neighbours: { ...neighbours, [side]: marks } } }
}
