import type { ChartAxis, ChartPivot, TiltChartSpec } from './tilt-chart-result.js'

/** Tilts in a chart are no greater, degrees: own choice, twice what any angled channel bridges. */
const GREATEST_TILT_DEG = 60
/** Moves in a chart are no greater, mm: own choice, the length of a long fixture. */
const GREATEST_MOVE_MM = 20
/** More values on one axis than anybody can see. Own choice. */
const MOST_VALUES = 1000

/** Own choice: twice the usual bend of an angled channel to either side, in whole degrees. */
const COLUMNS: ChartAxis = { from: -30, to: 30, count: 61 }
/** Own choice: beyond these a fixture runs into the neighbouring roots or leaves the alveolus. */
const ROWS: Readonly<Record<TiltChartSpec['kind'], ChartAxis>> = {
  tilt: { from: -15, to: 15, count: 31 },
  depth: { from: -3, to: 3, count: 31 },
  shift: { from: -3, to: 3, count: 31 },
}

/**
 * The usual chart of a kind, or one with axes of its own.
 * @throws RangeError naming what cannot be charted.
 */
export const chartSpec = (
  kind: TiltChartSpec['kind'] = 'tilt',
  pivot: ChartPivot = 'platform',
  { columns = COLUMNS, rows = ROWS[kind] }: Partial<Pick<TiltChartSpec, 'columns' | 'rows'>> = {},
): TiltChartSpec => checkChartSpec({ kind, pivot, columns, rows })

/** Tilts in both directions about the platform. */
export const DEFAULT_CHART_SPEC: TiltChartSpec = chartSpec()

/** The values of an axis, evenly spaced, both ends met to the last digit. */
export const axisValues = ({ from, to, count }: ChartAxis): readonly number[] =>
  Array.from({ length: count }, (_, n) => (from * (count - 1 - n) + to * n) / (count - 1))

/** @throws RangeError naming the field: an unknown kind or pivot, or an axis that is none. */
export function checkChartSpec(spec: TiltChartSpec): TiltChartSpec {
  const { kind, pivot, columns, rows } = spec
  if (!['tilt', 'depth', 'shift'].includes(kind))
    throw new RangeError(`tilt chart: kind must be tilt, depth or shift, got ${kind}`)
  if (!['platform', 'apex', 'crest'].includes(pivot))
    throw new RangeError(`tilt chart: pivot must be platform, apex or crest, got ${pivot}`)
  checkAxis('columns', columns, GREATEST_TILT_DEG, 'degrees')
  if (kind === 'tilt') checkAxis('rows', rows, GREATEST_TILT_DEG, 'degrees')
  else checkAxis('rows', rows, GREATEST_MOVE_MM, 'mm')
  return spec
}

function checkAxis(name: string, { from, to, count }: ChartAxis, greatest: number, unit: string): void {
  for (const [end, value] of Object.entries({ from, to }))
    if (!(Math.abs(value) <= greatest))
      throw new RangeError(
        `tilt chart: ${name}.${end} must lie between -${greatest} and ${greatest} ${unit}, got ${value}`,
      )
  if (!(from < to))
    throw new RangeError(`tilt chart: ${name}.from must be smaller than ${name}.to, got ${from} and ${to}`)
  if (!Number.isInteger(count) || count < 2 || count > MOST_VALUES)
    throw new RangeError(
      `tilt chart: ${name}.count must be a whole number from 2 to ${MOST_VALUES}, got ${count}`,
    )
}
