import type { ReportEntry } from './entry.js'

/**
 * - `path-unreadable`: a file, folder or zip cannot be opened.
 * - `no-series`: nothing in the pick is a DICOM image.
 * - `series-ambiguous`: several series could be loaded and none was chosen.
 * - `series-not-found`: the chosen series is not in the pick.
 * - `blocked`: the series must not be measured as it is; the report says why.
 */
export type ScanErrorCode =
  | 'path-unreadable'
  | 'no-series'
  | 'series-ambiguous'
  | 'series-not-found'
  | 'blocked'

/** What loading throws. The message is one sentence or two for the person at the screen: file, fault, remedy. */
export class ScanError extends Error {
  override readonly name = 'ScanError'
  readonly code: ScanErrorCode
  readonly report: readonly ReportEntry[]

  constructor(code: ScanErrorCode, message: string, report: readonly ReportEntry[] = [], cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause })
    this.code = code
    this.report = report
  }
}

/** True for errors of the loader, optionally only for some codes. */
export const isScanError = (error: unknown, ...codes: ScanErrorCode[]): error is ScanError =>
  error instanceof ScanError && (codes.length === 0 || codes.includes(error.code))

/** Carries a finding out of a decoder or reader to whoever loads the series. */
export class FindingError extends Error {
  override readonly name = 'FindingError'
  readonly finding: ReportEntry

  constructor(finding: ReportEntry, cause?: unknown) {
    super(finding.message, cause === undefined ? undefined : { cause })
    this.finding = finding
  }
}

export const isAbort = (error: unknown): boolean => error instanceof Error && error.name === 'AbortError'
