import { type AbortSignal, stopIfAborted } from '../bone/index.js'
import type { ExploredSite } from './explored-site.js'
import type { FixturePose } from './pose.js'
import { cellsAt, STAGES } from './tilt-chart-cells.js'
import { type ChartCell, cellAt, chartOf } from './tilt-chart-fields.js'
import { chartPivot } from './tilt-chart-pivot.js'
import { chartPose, chartPoses } from './tilt-chart-pose.js'
import type { TiltChart, TiltChartSpec } from './tilt-chart-result.js'
import { axisValues, checkChartSpec, DEFAULT_CHART_SPEC } from './tilt-chart-spec.js'

/** Poses between two turns of whoever runs the steps: some 10 ms. */
const POSES_A_STEP = 64

export interface TiltChartOptions {
  readonly signal?: AbortSignal
  /** Share of the poses that are measured, 0 to 1. */
  readonly onProgress?: (share: number) => void
  /** A coarser chart, while the rest is measured. */
  readonly onChart?: (chart: TiltChart) => void
  /** Called between steps; give the event loop a turn here so that an abort can arrive. */
  readonly pause?: () => Promise<void>
}

/**
 * The pose at a place of a site's chart: see chartPose.
 * @throws RangeError as chartPose.
 */
export const tiltChartPose = (
  site: ExploredSite,
  spec: TiltChartSpec,
  column: number,
  row: number,
): FixturePose =>
  chartPose({ plan: site.plan, crown: site.crown, pivotMm: chartPivot(site, spec.pivot) }, spec, column, row)

/**
 * Every tilt of the fixture measured: margins in mm, exits, bends in degrees, bone wanting in mm3. Every fourth cell
 * first, then every second, then all, each pose once. Yields the two coarser charts, and between them, every 64 poses,
 * what share of all is measured; returns the full chart. The same site and spec always give the same chart.
 * @throws RangeError naming the field of a spec that cannot be charted; as chartPose.
 */
export function* tiltChartSteps(
  site: ExploredSite,
  spec: TiltChartSpec = DEFAULT_CHART_SPEC,
): Generator<TiltChart | number, TiltChart> {
  checkChartSpec(spec)
  const pivotMm = chartPivot(site, spec.pivot)
  const poseAt = chartPoses({ plan: site.plan, crown: site.crown, pivotMm }, spec)
  const [columns, rows] = [axisValues(spec.columns), axisValues(spec.rows)]
  const meter = site.meter()
  const measured = new Array<ChartCell | undefined>(columns.length * rows.length)
  let done = 0
  for (const coarseness of STAGES) {
    for (const cell of cellsAt(spec, coarseness)) {
      if (measured[cell] !== undefined) continue
      const column = cell % columns.length
      measured[cell] = cellAt(
        meter,
        site.limits,
        poseAt(columns[column], rows[(cell - column) / columns.length]),
      )
      done++
      if (done % POSES_A_STEP === 0) yield done / measured.length
    }
    if (coarseness > 1) yield chartOf(site, spec, pivotMm, measured, coarseness)
  }
  return chartOf(site, spec, pivotMm, measured, 1)
}

/**
 * tiltChartSteps run to their end, with pauses.
 * @throws the signal's reason when aborted between steps; RangeError as tiltChartSteps.
 */
export async function tiltChart(
  site: ExploredSite,
  spec: TiltChartSpec = DEFAULT_CHART_SPEC,
  { signal, onProgress, onChart, pause }: TiltChartOptions = {},
): Promise<TiltChart> {
  const steps = tiltChartSteps(site, spec)
  for (;;) {
    stopIfAborted(signal)
    const step = steps.next()
    if (step.done) return step.value
    if (typeof step.value === 'number') onProgress?.(step.value)
    else onChart?.(step.value)
    await pause?.()
  }
}
