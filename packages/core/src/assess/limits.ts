import { boneLimits } from './bone-limits.js'
import { CHANNEL_LIMIT_TABLE } from './channel-limits.js'
import type { Limit } from './limit.js'
import { restorationLimits } from './restoration-limits.js'

/** The limits for a tooth, by code. Sources: published figures where there are any, else "common practice" or "from memory". */
export const limitsFor = (tooth: string): readonly Limit[] => [
  ...boneLimits(tooth),
  ...CHANNEL_LIMIT_TABLE,
  ...restorationLimits(tooth),
]

export type LimitValues = (code: string) => Limit

/**
 * The limits for a tooth with a plan's overrides in force.
 * @throws RangeError for an override that is not a limit of this version or not a plausible value of it.
 */
export function resolveLimits(tooth: string, overrides: Readonly<Record<string, number>>): LimitValues {
  const limits = new Map(limitsFor(tooth).map((limit) => [limit.code, limit]))
  for (const [code, value] of Object.entries(overrides)) {
    const limit = limits.get(code)
    if (limit === undefined)
      throw new RangeError(`plan: limits.${code} is not a limit; known are ${[...limits.keys()].join(', ')}`)
    const [least, greatest] = limit.plausible
    if (!(value >= least && value <= greatest))
      throw new RangeError(
        `plan: limits.${code} must be between ${least} and ${greatest} ${limit.unit}, got ${value}`,
      )
    if (value !== limit.value)
      limits.set(code, {
        ...limit,
        value,
        source: `set in the plan (default ${limit.value} ${limit.unit}: ${limit.source})`,
      })
  }
  return (code) => {
    const limit = limits.get(code)
    if (limit === undefined) throw new RangeError(`no limit is called ${code}`)
    return limit
  }
}
