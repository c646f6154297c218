import { CAUTIONS, type Plan, PlanError, readPlan, writePlan } from '@alveometer/core'

/** A plan read from a file. @throws Error naming the file and the remedy. */
export function parsePlan(text: string, name: string): Plan {
  try {
    return readPlan(text)
  } catch (error) {
    if (!(error instanceof PlanError)) throw error
    throw new Error(`${name}: ${error.message}`, { cause: error })
  }
}

/** Hands the plan to the person as a file, with the cautions that belong to every number of it. */
export function downloadPlan(plan: Plan): void {
  const text = writePlan({ ...plan, cautions: CAUTIONS } as Plan)
  const url = URL.createObjectURL(new Blob([text], { type: 'application/json' }))
  const link = document.createElement('a')
  link.href = url
  link.download = `plan-tooth-${plan.site.tooth}.json`
  link.click()
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
}
