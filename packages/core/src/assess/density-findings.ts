import type { Finding } from './assessment.js'
import type { DensityResult } from './density-result.js'
import { remark } from './finding.js'

/** What there is to say about the density. */
export function densityFindings({ unit, shell, noDataShare }: DensityResult): Finding[] {
  if (shell === null)
    return [
      remark('density', 'caution', 'The fixture lies outside the scan or where data is missing: no density.'),
    ]
  const missing =
    noDataShare.shell > 0
      ? `; ${Math.max(1, Math.round(100 * noDataShare.shell))} % of that holds no data`
      : ''
  return [
    {
      code: 'density',
      level: 'note',
      text: `Median ${shell.median.toFixed(0)} (5 to 95 %: ${shell.p5.toFixed(0)} to ${shell.p95.toFixed(0)}) within 0.5 mm of the fixture, ${unit}${missing}.`,
      value: shell.median,
      limit: null,
      unit,
      source: 'grey values differ between scanners and places (Campos 2014, World J Radiol 6:607)',
    },
  ]
}
