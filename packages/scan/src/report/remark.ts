import type { ScanRemark } from '@alveometer/core'
import { REPORT_CODES } from './codes.js'
import type { Facts, ReportEntry } from './entry.js'

/**
 * What of the report stays with the volume, its plans and every export: code and numbers. The messages stay behind,
 * for they name files, and files are often named after patients.
 */
export const remarksOf = (report: readonly ReportEntry[]): ScanRemark[] =>
  report.flatMap(({ level, code, facts }) =>
    level === 'block'
      ? []
      : [{ level, code, text: REPORT_CODES[code] + described(facts), ...(facts ? { facts } : {}) }],
  )

const UNITS: Readonly<Record<string, string>> = { Mm: ' mm', Deg: ' degrees', Percent: ' %' }

/** `{ largestOffsetMm: 0.05 }` -> " (largest offset 0.05 mm)". */
function described(facts: Facts | undefined): string {
  const parts = Object.entries(facts ?? {}).map(([name, value]) => {
    const words = name.split(/(?=[A-Z])/)
    const unit = UNITS[words.at(-1) ?? '']
    const label = (unit === undefined ? words : words.slice(0, -1)).join(' ').toLowerCase()
    const shown = typeof value === 'number' ? Number(value.toFixed(3)) : value
    return `${label} ${shown}${unit ?? ''}`
  })
  return parts.length > 0 ? ` (${parts.join(', ')})` : ''
}
