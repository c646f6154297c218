export type { ReportEntry, ReportLevel } from './entry.js'
export { block, count, mm, nameFiles, note, warn } from './entry.js'
export type { ScanErrorCode } from './error.js'
export { FindingError, isAbort, isScanError, ScanError } from './error.js'
