import type { ReportCode } from './codes.js'

/** block: not measurable until mended. warn: measurable, keep it visible. note: put right, for the record. */
export type ReportLevel = 'block' | 'warn' | 'note'

/** One thing the loader found. `code` is stable; `message` names the place and, where there is one, the remedy. */
export interface ReportEntry {
  readonly level: ReportLevel
  /** Lower-case words joined by hyphens; never changes meaning. One page each in docs/load-report. */
  readonly code: ReportCode
  readonly message: string
  readonly files?: readonly string[]
  /** Numbers worth keeping with the scan, unit in the name; no names of files or persons. */
  readonly facts?: Facts
  /** The series it belongs to; absent when it concerns the whole pick. */
  readonly seriesUid?: string
}

export type Facts = Readonly<Record<string, number | string>>
type Entry = (code: ReportCode, message: string, files?: readonly string[], facts?: Facts) => ReportEntry

const entry =
  (level: ReportLevel): Entry =>
  (code, message, files, facts) => ({
    level,
    code,
    message,
    ...(files && files.length > 0 ? { files } : {}),
    ...(facts ? { facts } : {}),
  })

export const block: Entry = entry('block')
export const warn: Entry = entry('warn')
export const note: Entry = entry('note')

/** "a", "a and b", "a, b and 3 more": enough to find the files, short enough to read. */
export function nameFiles(files: readonly string[], most = 3): string {
  const sorted = [...files].sort()
  if (sorted.length > most) return `${sorted.slice(0, most).join(', ')} and ${sorted.length - most} more`
  return sorted.length < 2 ? sorted.join('') : `${sorted.slice(0, -1).join(', ')} and ${sorted.at(-1)}`
}

/** "1 slice", "2 slices". */
export const count = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? '' : 's'}`

/** A length for a message: at most 3 decimals, no trailing zeros. */
export const mm = (value: number): string => `${Number(value.toFixed(3))} mm`
