import { type Plan, readPlan, writePlan } from '@alveometer/core'

const key = (seriesUid: string): string => `alveometer-plan:${seriesUid}`

/** Keeps the plan of a scan in this browser, so that closing the page loses nothing. Plans hold no names of persons. */
export function keepPlan(seriesUid: string, plan: Plan): void {
  try {
    localStorage.setItem(key(seriesUid), writePlan(plan))
  } catch {
    // Storage is full or forbidden: Save plan is still there.
  }
}

/** The plan kept for a scan; null when there is none, or one this version cannot read. */
export function keptPlan(seriesUid: string): Plan | null {
  try {
    const text = localStorage.getItem(key(seriesUid))
    return text === null ? null : readPlan(text)
  } catch {
    return null
  }
}
