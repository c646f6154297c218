import type { RayFlag, RayState } from '../bone/index.js'
import type { MarginResult } from './margin-result.js'

/** How many rays of a map ended in which way. */
export function stateCounts({ state }: Pick<MarginResult, 'state'>): Readonly<Record<RayState, number>> {
  const counts = { bone: 0, 'axis-outside': 0, 'no-surface': 0, 'no-data': 0 }
  for (const row of state) for (const one of row) counts[one]++
  return counts
}

/** How many rays of a map carry which flag. */
export function flagCounts({ flags }: Pick<MarginResult, 'flags'>): Readonly<Record<RayFlag, number>> {
  const counts = { thin: 0, tooth: 0, leak: 0, unrefined: 0 }
  for (const row of flags) for (const ray of row) if (ray.length > 0) for (const flag of ray) counts[flag]++
  return counts
}

export const rayCount = ({ depthsMm, anglesDeg }: Pick<MarginResult, 'depthsMm' | 'anglesDeg'>): number =>
  depthsMm.length * anglesDeg.length
