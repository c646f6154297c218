import type { Finding } from './assessment.js'
import type { ExposedRegion } from './margin-cover.js'
import type { ExposureRange, MarginResult } from './margin-result.js'
import { direction, percent } from './words.js'

const SOURCE =
  'measured on the margin map; cone-beam scans tend to show more of these than there are where plates are thin (Patcas 2012, AJODO 141:41, from memory)'
/** So many regions are told one by one. */
const TOLD = 3

/** Where bone does not cover the fixture, and how much of it bone covers. */
export function exposureFindings(margin: MarginResult, tooth: string): Finding[] {
  const { dehiscences, fenestrations } = margin
  const findings: Finding[] = []
  if (dehiscences.length > 0)
    findings.push({
      code: 'dehiscence',
      level: 'below',
      text: `Dehiscence: the fixture is uncovered from the platform down to ${margin.dehiscenceMm.toFixed(1)} mm${depthRange(margin)}. ${told(dehiscences, dehiscenceWords)}${openWords(dehiscences)}`,
      value: margin.dehiscenceMm,
      limit: 0,
      unit: 'mm',
      source: SOURCE,
    })
  if (fenestrations.length > 0)
    findings.push({
      code: 'fenestration',
      level: 'below',
      text: `Fenestration: ${margin.fenestrationMm2.toFixed(1)} mm\u00b2 of the fixture is uncovered below the platform${areaRange(margin)}. ${told(fenestrations, (region) => fenestrationWords(region, tooth))}${openWords(fenestrations)}`,
      value: margin.fenestrationMm2,
      limit: 0,
      unit: 'mm2',
      source: SOURCE,
    })
  return [...findings, ...coverFindings(margin)]
}

/** " (1.9 to 2.8 mm if every margin were 0.14 mm larger or smaller)" */
function depthRange({ exposureRange }: MarginResult): string {
  if (exposureRange === null) return ''
  return ` (${span(exposureRange.dehiscenceMm)} mm ${shifted(exposureRange)})`
}

function areaRange({ exposureRange }: MarginResult): string {
  if (exposureRange === null) return ''
  return ` (all that is uncovered comes to ${span(exposureRange.bareMm2)} mm\u00b2 ${shifted(exposureRange)})`
}

const span = ([least, greatest]: readonly [number, number]): string =>
  `${least.toFixed(1)} to ${greatest.toFixed(1)}`

const shifted = ({ shiftMm }: ExposureRange): string =>
  `if every margin were ${shiftMm.toFixed(2)} mm larger or smaller`

const dehiscenceWords = ({ sector, heightMm, widthMm, areaMm2 }: ExposedRegion): string =>
  `${sector} ${heightMm.toFixed(1)} mm high, up to ${widthMm.toFixed(1)} mm wide, ${areaMm2.toFixed(1)} mm\u00b2`

const fenestrationWords = (
  { sector, areaMm2, fromMm, toMm, angleDeg }: ExposedRegion,
  tooth: string,
): string =>
  `${sector} ${areaMm2.toFixed(1)} mm\u00b2, ${fromMm.toFixed(1)} to ${toMm.toFixed(1)} mm below the platform${sector === 'all round' ? '' : `, about ${direction(angleDeg, tooth)}`}`

/** The largest in words, the others together. */
function told(regions: readonly ExposedRegion[], words: (region: ExposedRegion) => string): string {
  const parts = regions.slice(0, TOLD).map(words)
  const others = regions.slice(TOLD)
  if (others.length > 0) {
    const areaMm2 = others.reduce((sum, region) => sum + region.areaMm2, 0)
    parts.push(`${others.length} more of ${areaMm2.toFixed(1)} mm\u00b2 together`)
  }
  const all = parts.join('; ')
  return `${all.charAt(0).toUpperCase()}${all.slice(1)}.`
}

const openWords = (regions: readonly ExposedRegion[]): string =>
  regions.some(({ open }) => open) ? ' Data is missing beside it: it may reach farther.' : ''

function coverFindings({ inBone, exposureRange }: MarginResult): Finding[] {
  const { areaMm2, share, ofMm2 } = inBone
  if (ofMm2 === 0) return []
  const [least, greatest] = exposureRange?.inBoneShare ?? [share, share]
  const range =
    greatest - least < 0.005 ? '' : ` (${percent(least)} to ${percent(greatest)} within the interval)`
  return [
    {
      code: 'in-bone',
      level: 'note',
      text: `Bone covers ${percent(share)} of the fixture's side${range}: ${areaMm2.toFixed(0)} of ${ofMm2.toFixed(0)} mm\u00b2 measured.`,
      value: 100 * share,
      limit: null,
      unit: '%',
      source: 'measured on the margin map',
    },
  ]
}
