import {
  type BoneModel,
  type ExploredSite,
  exploredSiteSteps,
  type Mesh,
  type MissCloud,
  missCloudSteps,
  type Plan,
  type TiltChart,
  tiltChartSteps,
  type WaysOut,
  waysOutSteps,
} from '@alveometer/core'
import type { ChartRequest, CloudRequest, WaysRequest } from './explore-requests.js'
import type { Progress } from './protocol.js'

/** What a result is looked for with. `onPart`: a first, coarser result. */
export interface Exploring<T> {
  readonly signal: AbortSignal
  readonly onPart: (part: T) => void
  readonly onProgress: (progress: Progress) => void
  /** Gives the event loop a turn. */
  readonly pause: () => Promise<void>
}

/** Tilt chart, ways out and miss cloud on the scan that the worker owns. What they share of a site is kept for the next. */
export class Explorer {
  #kept: { readonly model: BoneModel; readonly key: string; readonly site: ExploredSite } | null = null

  async chart(
    model: BoneModel,
    { plan, spec }: ChartRequest,
    mesh: Mesh | undefined,
    task: Exploring<TiltChart>,
  ) {
    return finished('chart', tiltChartSteps(await this.#site(model, plan, mesh, task), spec), task)
  }

  async ways(
    model: BoneModel,
    { plan, shapes }: WaysRequest,
    mesh: Mesh | undefined,
    task: Exploring<WaysOut>,
  ) {
    const site = await this.#site(model, plan, mesh, task)
    return finished('ways', waysOutSteps(site, shapes === undefined ? {} : { shapes }), task)
  }

  async cloud(
    model: BoneModel,
    { plan, error, way, counted }: CloudRequest,
    mesh: Mesh | undefined,
    task: Exploring<MissCloud>,
  ) {
    const site = await this.#site(model, plan, mesh, task)
    return finished(
      'cloud',
      missCloudSteps(site, {
        error,
        ...(way === undefined ? {} : { way }),
        ...(counted === undefined ? {} : { counted }),
      }),
      task,
    )
  }

  async #site(
    model: BoneModel,
    plan: Plan,
    crownMesh: Mesh | undefined,
    task: Omit<Exploring<never>, 'onPart'>,
  ): Promise<ExploredSite> {
    const key = JSON.stringify(plan)
    if (this.#kept?.model === model && this.#kept.key === key) return this.#kept.site
    const steps = exploredSiteSteps(model, plan, crownMesh === undefined ? {} : { crownMesh })
    const site = await finished('site', steps, { ...task, onPart: () => {} })
    this.#kept = { model, key, site }
    return site
  }
}

/** Runs steps to their end, with a turn of the event loop after each. */
async function finished<T extends object>(
  stage: string,
  steps: Generator<T | number, T>,
  { signal, onPart, onProgress, pause }: Exploring<T>,
): Promise<T> {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
    if (typeof step.value === 'number') onProgress({ stage, done: step.value, total: 1 })
    else onPart(step.value)
    await pause()
    signal.throwIfAborted()
  }
}
