import type { Vec3 } from '@alveometer/core'
import type { ReportEntry } from './entry.js'

/**
 * - `path-unreadable`: a file, folder or zip cannot be opened.
 * - `fetch-failed`: a scan at an address or in a stream did not come.
 * - `no-series`: nothing in the pick is a DICOM image.
 * - `series-ambiguous`: several series could be loaded and none was chosen.
 * - `series-not-found`: the chosen series is not in the pick.
 * - `bad-region`: the part to be loaded is not inside the scan.
 * - `too-large`: the scan needs more memory than the budget; `offer` says what would fit.
 * - `blocked`: the series must not be measured as it is; the report says why.
 */
export type ScanErrorCode =
  | 'path-unreadable'
  | 'fetch-failed'
  | 'no-series'
  | 'series-ambiguous'
  | 'series-not-found'
  | 'bad-region'
  | 'too-large'
  | 'blocked'

/** What a scan needs and what of it would fit. */
export interface SizeOffer {
  readonly neededBytes: number
  readonly budgetBytes: number
  readonly shape: Vec3
  readonly spacingMm: Vec3
  /** Half resolution: its size; null where that is still too much and only a part can be loaded. */
  readonly half: { readonly bytes: number; readonly shape: Vec3; readonly spacingMm: Vec3 } | null
}

/** What loading throws. The message is one sentence or two for the person at the screen: file, fault, remedy. */
export class ScanError extends Error {
  override readonly name = 'ScanError'
  readonly code: ScanErrorCode
  readonly report: readonly ReportEntry[]
  readonly offer?: SizeOffer

  constructor(
    code: ScanErrorCode,
    message: string,
    report: readonly ReportEntry[] = [],
    cause?: unknown,
    offer?: SizeOffer,
  ) {
    super(message, cause === undefined ? undefined : { cause })
    this.code = code
    this.report = report
    if (offer) this.offer = offer
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
