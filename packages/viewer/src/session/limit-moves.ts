import { limitsFor, type Plan } from '@alveometer/core'

/** Limits of the channel that are typed on the page, and between what they may lie. */
export const channelRanges = {
  /** In use: 2.0 to 3.5 mm (from memory); 2.3 against 3.5 mm: Open Dent J 2023 17:e18742106265390. */
  channelDiameterMm: [2, 3.5],
  /** Usual components: 2 to 4 mm above the platform (from memory). */
  bendPivotMm: [2, 4],
  /** Common practice: 25 degrees, some components 28 to 30 (from memory). */
  correctionDeg: [0, 30],
} as const

export type ChannelLimit = keyof typeof channelRanges

/** A limit as it is in force for a plan, by its code; null for a code that is none. */
export const limitOf = (plan: Plan, code: string): number | null =>
  plan.limits[code] ?? limitsFor(plan.site.tooth).find((l) => l.code === code)?.value ?? null

/** The limit of a plan: its own where it has one, else the default of its tooth. */
export const channelLimit = (plan: Plan, code: ChannelLimit): number =>
  plan.limits[code] ?? defaultLimit(plan, code)

/** The plan with another limit, kept within its range; the default leaves no override behind. */
export function setChannelLimit(plan: Plan, code: ChannelLimit, value: number): Plan {
  if (!Number.isFinite(value)) throw new RangeError(`${code} must be a number, got ${value}`)
  const [low, high] = channelRanges[code]
  const wanted = Math.max(low, Math.min(high, value))
  const { [code]: _, ...others } = plan.limits
  const limits = wanted === defaultLimit(plan, code) ? others : { ...others, [code]: wanted }
  return { ...plan, limits }
}

/** The plan with another diameter of its access channel, mm. */
export const setChannelDiameter = (plan: Plan, mm: number): Plan =>
  setChannelLimit(plan, 'channelDiameterMm', mm)

/** The plan with another height of the bend of an angled channel above the platform, mm. */
export const setBendPivot = (plan: Plan, mm: number): Plan => setChannelLimit(plan, 'bendPivotMm', mm)

/** The plan with another greatest bend of an angled channel, degrees. */
export const setGreatestCorrection = (plan: Plan, deg: number): Plan =>
  setChannelLimit(plan, 'correctionDeg', deg)

function defaultLimit(plan: Plan, code: ChannelLimit): number {
  const limit = limitsFor(plan.site.tooth).find((l) => l.code === code)
  if (limit === undefined) throw new RangeError(`no limit is called ${code}`)
  return limit.value
}
