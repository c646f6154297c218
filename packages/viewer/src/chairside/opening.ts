import type { DroppedFile } from '../load-report/dropped.js'
import { parsePlan } from './plan-file.js'
import type { Workbench } from './workbench.js'

const isPlan = ({ file }: DroppedFile): boolean => /\.json$/i.test(file.name)
const isMesh = ({ file }: DroppedFile): boolean => /\.(stl|obj|ply|3mf)$/i.test(file.name)

/**
 * Opens what was picked or dropped: a plan's JSON, a scan, a crown's mesh, or several of them. Of meshes that lie with a
 * scan only the plan's own is meant. Resolves when all is ready or refused.
 */
export function openFiles(bench: Workbench, files: readonly DroppedFile[]): Promise<void> {
  const [first] = files.filter(isPlan)
  const meshes = files.filter(isMesh)
  const rest = files.filter((f) => !isPlan(f) && !isMesh(f))
  return orRefused(bench, async () => {
    const plan = first === undefined ? undefined : parsePlan(await first.file.text(), first.file.name)
    const named = plan?.crown.kind === 'mesh' ? plan.crown.file : bench.missing
    const mesh = meshes.find(({ file }) => file.name === named) ?? (rest.length === 0 ? meshes[0] : undefined)
    if (rest.length === 0) {
      if (plan !== undefined) await bench.openPlan(plan)
      if (mesh !== undefined) await bench.crowns.read(mesh.file)
      return
    }
    const source = {
      kind: 'files' as const,
      files: rest.map((f) => f.file),
      paths: rest.map((f) => f.path),
    }
    await bench.open(source, plan === undefined ? {} : { plan })
    if (mesh !== undefined) await bench.crowns.read(mesh.file)
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
