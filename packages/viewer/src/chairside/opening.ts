import type { DroppedFile } from '../load-report/dropped.js'
import { parsePlan } from './plan-file.js'
import type { Workbench } from './workbench.js'

/** Opens what was picked or dropped: a plan's JSON, a scan, or both. Resolves when the scan is ready or refused. */
export function openFiles(bench: Workbench, files: readonly DroppedFile[]): Promise<void> {
  const isPlan = (f: DroppedFile): boolean => /\.json$/i.test(f.file.name)
  const [first] = files.filter(isPlan)
  const rest = files.filter((f) => !isPlan(f))
  return orRefused(bench, async () => {
    const plan = first === undefined ? undefined : parsePlan(await first.file.text(), first.file.name)
    if (rest.length === 0) {
      if (plan !== undefined) await bench.openPlan(plan)
      return
    }
    const source = {
      kind: 'files' as const,
      files: rest.map((f) => f.file),
      paths: rest.map((f) => f.path),
    }
    await bench.open(source, plan === undefined ? {} : { plan })
  })
}

/** Opens a scan of this origin, and a plan where there is one. */
export function openSample(bench: Workbench, scan: string, planAddress: string | null): Promise<void> {
  return orRefused(bench, async () => {
    const response = planAddress === null ? null : await fetch(planAddress)
    const plan = response?.ok ? parsePlan(await response.text(), planAddress ?? '') : undefined
    const url = new URL(scan, document.baseURI).href
    await bench.open({ kind: 'url', url }, plan === undefined ? {} : { plan })
  })
}

/** What goes wrong is told on the page. */
async function orRefused(bench: Workbench, open: () => Promise<void>): Promise<void> {
  try {
    await open()
  } catch (error) {
    bench.refuse(error instanceof Error ? error.message : String(error))
  }
}
