import type { ScanInput } from '../inputs/index.js'
import { block, FindingError, type ReportEntry } from '../report/index.js'
import { personOf } from './person.js'
import type { PixelOptions } from './pixels.js'
import { readSeries } from './read-series.js'
import { headersOf, isUsable, type SurveyedSeries } from './series.js'
import { type SeriesSummary, summarize } from './summary.js'
import { type SurveyOptions, survey } from './survey.js'
import { thumbnailOf } from './thumbnail.js'

export interface InspectOptions extends PixelOptions, SurveyOptions {
  /** Also decode the pixels of usable series to find their smallest and largest grey value. */
  readonly greyRange?: boolean
  /** Also make a small picture of the middle slice of each series, so many pixels along its longer side. */
  readonly thumbnails?: number
  /** Also say whose scan each series is, to show to the person who chooses. */
  readonly persons?: boolean
}

export interface ScanInspection {
  readonly series: readonly SeriesSummary[]
  /** All findings: those of the whole pick first, then those of each series. */
  readonly report: readonly ReportEntry[]
}

/**
 * What is in the pick: every series with its size, place and findings, from the headers alone.
 * Nothing that is wrong with the files throws; it is in the report.
 */
export async function inspectScan(
  inputs: readonly ScanInput[],
  options: InspectOptions = {},
): Promise<ScanInspection> {
  const found = await survey(inputs, options)
  const series: SeriesSummary[] = []
  for (const one of found.series) {
    const summary = options.greyRange ? await withRange(one, options) : summarize(one)
    const thumbnail = options.thumbnails
      ? await thumbnailOf(headersOf(one), options.thumbnails, options)
      : null
    const person = options.persons ? { person: personOf(headersOf(one)[0]) } : {}
    series.push({ ...summary, ...(thumbnail ? { thumbnail } : {}), ...person })
  }
  const report = [...found.report, ...series.flatMap((s) => s.report)]
  if (series.length === 0) report.push(nothingFound(found.fileCount))
  return { series, report }
}

/** Says why an empty result is empty. */
export const nothingFound = (fileCount: number): ReportEntry =>
  block(
    'no-series',
    fileCount === 0
      ? 'There are no files to read. Choose the folder or zip with the DICOM slices.'
      : `None of the ${fileCount} files is a DICOM image. Choose the folder or zip with the DICOM slices.`,
  )

async function withRange(series: SurveyedSeries, options: InspectOptions): Promise<SeriesSummary> {
  const summary = summarize(series)
  if (!isUsable(series)) return summary
  try {
    const { volume, report } = await readSeries(series, options)
    return { ...summary, grey: volume.grey, report: [...summary.report, ...report] }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const finding = { ...error.finding, seriesUid: summary.seriesUid }
    return { ...summary, usable: false, report: [...summary.report, finding] }
  }
}
