import { type ReportEntry, ScanError } from '../report/index.js'
import { nothingFound } from './inspect.js'
import { isUsable, type SurveyedSeries, seriesUidOf, shapeOf } from './series.js'
import { summarize } from './summary.js'
import type { Survey } from './survey.js'

/**
 * The one series that is meant.
 * @throws ScanError when there is none, more than one, or the one must not be measured.
 */
export function choose(
  found: Survey,
  seriesUid: string | undefined,
  fits: (series: SurveyedSeries) => boolean = isUsable,
): SurveyedSeries {
  const everything = [...found.report, ...found.series.flatMap((s) => s.report)]
  if (found.series.length === 0) {
    const worst = (level: ReportEntry['level']) => found.report.find((r) => r.level === level)
    const reason = worst('block') ?? worst('warn') ?? nothingFound(found.fileCount)
    throw new ScanError('no-series', reason.message, [...found.report, nothingFound(found.fileCount)])
  }
  const candidates =
    seriesUid === undefined
      ? found.series
      : found.series.filter((s) => s.id === seriesUid || seriesUidOf(s) === seriesUid)
  if (candidates.length === 0) {
    const message = `Series ${seriesUid} is not among the files. There are: ${found.series.map((s) => s.id).join(', ')}.`
    throw new ScanError('series-not-found', message, everything)
  }
  const usable = candidates.filter(fits)
  if (usable.length === 1 && usable[0]) return usable[0]
  if (usable.length > 1) {
    const message = `The files hold ${usable.length} series that could be loaded. Choose one: ${usable.map(nameSeries).join('; ')}.`
    throw new ScanError('series-ambiguous', message, everything)
  }
  // The largest series is the one that was meant; its faults are the ones to name first.
  const [largest] = [...candidates].sort((a, b) => shapeOf(b)[2] - shapeOf(a)[2])
  throw blocked([...found.report, ...(largest?.report ?? []), ...everything])
}

export function blocked(report: readonly ReportEntry[], cause?: unknown): ScanError {
  const unique = [...new Set(report)]
  const blocks = unique.filter((r) => r.level === 'block')
  const others = blocks.length > 1 ? ` (${blocks.length - 1} more in the load report)` : ''
  return new ScanError(
    'blocked',
    `${blocks[0]?.message ?? 'The series cannot be loaded.'}${others}`,
    unique,
    cause,
  )
}

export function nameSeries(s: SurveyedSeries): string {
  const { id, modality, shape } = summarize(s)
  return `${modality || 'volume'} ${shape.join(' x ')}, series ${id}`
}
