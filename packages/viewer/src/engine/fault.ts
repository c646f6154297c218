import { isScanError, type ReportEntry, type ScanError } from '@alveometer/scan'
import type { EngineFault, ReportLine, SeriesChoice } from './protocol.js'

/** Several series could be loaded: the loader's error, with what there is to choose from. */
export class ChoiceError extends Error {
  readonly series: readonly SeriesChoice[]
  readonly report: readonly ReportEntry[]

  constructor(cause: ScanError, series: readonly SeriesChoice[]) {
    super(cause.message, { cause })
    this.series = series
    this.report = cause.report
  }
}

/** What is thrown in the worker, as plain data: an error's own fields do not survive the way to the page. */
export function faultOf(error: unknown): EngineFault {
  const none = { report: [] as ReportLine[], series: [] as SeriesChoice[] }
  if (error instanceof ChoiceError)
    return {
      name: 'ScanError',
      code: 'series-ambiguous',
      message: error.message,
      report: error.report,
      series: error.series,
    }
  if (isScanError(error))
    return { ...none, name: error.name, code: error.code, message: error.message, report: error.report }
  if (error instanceof RangeError) return { ...none, name: error.name, code: 'plan', message: error.message }
  if (error instanceof Error || error instanceof DOMException)
    return { ...none, name: error.name, code: error.name, message: error.message }
  return { ...none, name: 'Error', code: 'unknown', message: String(error) }
}
