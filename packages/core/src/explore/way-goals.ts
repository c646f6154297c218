import type { WayOut } from './held-limit.js'
import { DEG_A_MM } from './way-space.js'
import type { WayValues } from './way-values.js'

/** What a search is after: the least of `pieces` as great as can be while none of `kept` is negative, all in mm. */
export interface WayGoal {
  readonly pieces: (values: WayValues) => readonly number[]
  readonly kept: (values: WayValues) => readonly number[]
}

/** As much bone in all directions as the other limits leave. */
export const boneGoal: WayGoal = {
  pieces: ({ margins }) => margins,
  kept: ({ others }) => others,
}

/** As little graft as the limits of channel and platform leave. */
const graftGoal: WayGoal = {
  pieces: ({ graft }) => [-graft],
  kept: ({ others }) => others,
}

/** As little bend as the limits leave, the margins held with so much in hand. */
const bendGoal = (inHandMm: number): WayGoal => ({
  pieces: ({ bend }) => [-bend],
  kept: ({ margins, others }) => [...margins.map((mm) => mm - inHandMm), ...others],
})

/** What the way is searched for. */
export const firstGoal = (way: WayOut, inHandMm: number): WayGoal =>
  way === 'straight-graft' ? graftGoal : way === 'angled' ? bendGoal(inHandMm) : boneGoal

/** Bends no farther apart are one. Own choice: half a digit of what is printed. */
export const SAME_BEND_DEG = 0.05

/** Reserve of what there is to be none of, mm: as long as there is none more than a search keeps in hand. */
const noneLeft = (value: number): number => (value === 0 ? 0.01 : -value)

/** Among placements as good as one that was found, the one with most bone; null where the first goal leaves no choice. */
export function secondGoal(way: WayOut, found: WayValues, inHandMm: number): WayGoal | null {
  if (way === 'angled')
    return {
      pieces: ({ margins }) => margins,
      kept: (values) => [
        ...bendGoal(inHandMm).kept(values),
        found.bend === 0 ? noneLeft(values.bend) : found.bend + SAME_BEND_DEG / DEG_A_MM - values.bend,
      ],
    }
  if (way === 'straight-graft' && found.graft === 0)
    return {
      pieces: ({ margins }) => margins,
      kept: ({ others, graft }) => [...others, noneLeft(graft)],
    }
  return null
}

/** The least worst violation, where the limits cannot be kept together. */
export const violationGoal = (way: WayOut, inHandMm: number): WayGoal => ({
  pieces: ({ margins, others }) =>
    way === 'straight-graft' ? others : [...margins.map((mm) => mm - inHandMm), ...others],
  kept: () => [],
})

export const least = (values: readonly number[]): number => Math.min(...values, Number.POSITIVE_INFINITY)
