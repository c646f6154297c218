import type { Finding } from './assessment.js'
import type { DensityResult } from './density-result.js'
import { remark } from './finding.js'

/** What there is to say about the density. */
export function densityFindings(density: DensityResult): Finding[] {
  const { shell, noDataShare } = density
  if (shell === null)
    return [
      remark('density', 'caution', 'The fixture lies outside the scan or where data is missing: no density.'),
    ]
  const unit = density.unit === 'grey value' ? 'grey value (not HU)' : density.unit
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
    ...calibratedFindings(density),
  ]
}

function calibratedFindings({ calibrated, shell }: DensityResult): Finding[] {
  if (calibrated === null || shell === null || shell.hu === null) return []
  const { hu, halfWidthHu, beyondPoints } = shell.hu
  const beyond = beyondPoints ? ', beyond the points of the calibration' : ''
  return [
    {
      code: 'density-hu',
      level: 'note',
      text: `Mean ${hu.toFixed(0).replace('-', '\u2212')} \u00b1 ${halfWidthHu.toFixed(0)} HU, estimated${beyond}, within 0.5 mm of the fixture.`,
      value: hu,
      limit: null,
      unit: 'HU, estimated',
      source: calibrated.text,
    },
  ]
}
