import { type Plan, type PlannedScan, readPlan, writePlan } from '@alveometer/core'

/** By the series; by the voxels where a scan belongs to none. */
const key = ({ seriesUid, fingerprint }: Pick<PlannedScan, 'seriesUid' | 'fingerprint'>): string =>
  `alveometer-plan:${seriesUid || fingerprint}`

/** Keeps the plan of a scan in this browser, so that closing the page loses nothing. Plans hold no names of persons. */
export function keepPlan(plan: Plan): void {
  try {
    localStorage.setItem(key(plan.scan), writePlan(plan))
  } catch {
    // Storage is full or forbidden: Save plan is still there.
  }
}

/** The plan kept for a scan; null when there is none, or one this version cannot read. */
export function keptPlan(scan: Pick<PlannedScan, 'seriesUid' | 'fingerprint'>): Plan | null {
  try {
    const text = localStorage.getItem(key(scan))
    return text === null ? null : readPlan(text)
  } catch {
    return null
  }
}
