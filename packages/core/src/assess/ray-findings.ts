import type { RayFlag } from '../bone/index.js'
import type { Finding } from './assessment.js'
import { remark } from './finding.js'
import type { MarginResult } from './margin-result.js'
import { flagCounts, rayCount, stateCounts } from './ray-counts.js'
import { inSector, sectorsOf } from './sectors.js'
import { percent } from './words.js'

/** Below this many sigmas of the blur the thickness of a plate cannot be told. */
const THIN_SIGMAS = 1.5

/** What makes some rays less sure, or leaves them without a number. */
export function rayFindings(margin: MarginResult, tooth: string): Finding[] {
  const states = stateCounts(margin)
  const measured = states.bone
  const { tooth: hard, leak, thin, unrefined } = flagCounts(margin)
  const findings: Finding[] = []
  if (hard > 0)
    findings.push(
      counted(
        'margin-tooth',
        'caution',
        hard,
        `${rays(hard, rayCount(margin))} (${bySector(margin, 'tooth', tooth)}) may run through a tooth: the scan cannot show a gap of 0.2 mm between root and bone, so the margin there may be too large. Look at the section.`,
        'blurred gap between root and bone: no dip in grey from a blur of 0.25 mm on (worked out)',
      ),
    )
  if (leak > 0)
    findings.push(
      counted(
        'margin-leak',
        'caution',
        leak,
        `${rays(leak, rayCount(margin))} (${bySector(margin, 'leak', tooth)}) end where the outside comes in through a narrow opening: a hole in the plate, or a plate too thin for this scan. Look at the section.`,
      ),
    )
  if (margin.blurMm !== null && thin > 0) findings.push(thinFinding(thin, measured, margin.blurMm))
  if (unrefined > 0)
    findings.push(
      counted(
        'margin-unrefined',
        'note',
        unrefined,
        `${rays(unrefined, measured)} kept the fast number, with its wider interval: the fitted edge was too far from it to be believed.`,
      ),
    )
  if (states['axis-outside'] > 0) findings.push(axisFinding(margin, states['axis-outside']))
  const without = states['no-surface']
  if (without > 0)
    findings.push(
      counted(
        'margin-no-surface',
        'note',
        without,
        `${rays(without, rayCount(margin))} meet no outside of bone within range: no number, and the fixture counts as covered there.`,
      ),
    )
  return findings
}

const rays = (count: number, of: number): string => `${count} of ${of} rays`

const counted = (
  code: string,
  level: Finding['level'],
  value: number,
  text: string,
  source = '',
): Finding => ({ ...remark(code, level, text, source), value, unit: 'rays' })

/** "mesial 12, distal 3" */
function bySector({ flags, anglesDeg }: MarginResult, flag: RayFlag, tooth: string): string {
  const counts = sectorsOf(tooth).map((sector) => {
    const columns = [...anglesDeg.keys()].filter((column) => inSector(sector, anglesDeg[column]))
    const count = flags.reduce(
      (sum, row) => sum + columns.filter((column) => row[column].includes(flag)).length,
      0,
    )
    return { name: sector.name, count }
  })
  return counts
    .filter(({ count }) => count > 0)
    .map(({ name, count }) => `${name} ${count}`)
    .join(', ')
}

function thinFinding(thin: number, measured: number, sigmaMm: number): Finding {
  return counted(
    'plate-thin',
    'caution',
    thin,
    `On ${percent(thin / measured)} of the rays (${thin} of ${measured}) the cortical plate is thinner than ${THIN_SIGMAS} sigma of the blur here (sigma ${sigmaMm.toFixed(2)} mm, so about ${(THIN_SIGMAS * sigmaMm).toFixed(2)} mm): its thickness cannot be measured.`,
    'a plate that thin changes the height of its blurred peak only, not its width (worked out)',
  )
}

/** Depths at which the axis itself is outside bone. */
function axisFinding({ state, depthsMm }: MarginResult, count: number): Finding {
  const outside = depthsMm.filter((_, row) => state[row].includes('axis-outside'))
  const from = outside[0].toFixed(1)
  const to = outside[outside.length - 1].toFixed(1)
  const where = from === to ? `at ${from} mm` : `between ${from} and ${to} mm`
  return counted(
    'axis-outside',
    'caution',
    count,
    `The axis itself is outside bone ${where} below the platform: no radial margin there, and the fixture counts as uncovered.`,
  )
}
