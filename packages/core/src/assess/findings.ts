import type { BoneModel } from '../bone/index.js'
import { type ExitResult, isPosterior, oralSide } from '../crown/index.js'
import type { Plan } from '../plan/index.js'
import type { Finding, FindingLevel } from './assessment.js'
import { densityFindings } from './density-findings.js'
import type { DensityResult } from './density-result.js'
import { remark } from './finding.js'
import type { Limit, LimitValues } from './limits.js'
import type { MarginResult, SectorMargin } from './margin-result.js'
import { scanFindings } from './scan-findings.js'

/** What there is to say about a plan, the worst first. */
export function findingsOf(
  plan: Plan,
  model: BoneModel,
  exit: ExitResult,
  margin: MarginResult,
  density: DensityResult,
  limits: LimitValues,
): Finding[] {
  const findings = [
    ...scanFindings(plan, model),
    ...exitFindings(plan, exit, limits),
    ...marginFindings(margin, limits),
    ...exposureFindings(margin),
    ...densityFindings(density),
  ]
  return findings.sort((a, b) => RANK.indexOf(a.level) - RANK.indexOf(b.level))
}

const RANK: readonly FindingLevel[] = ['below', 'caution', 'between', 'met', 'note']

const WORDS = {
  palatal: 'behind the tooth',
  lingual: 'behind the tooth',
  occlusal: 'through the occlusal table',
  incisal: 'through the incisal edge',
  facial: 'at the front of the crown',
} as const

function exitFindings(plan: Plan, exit: ExitResult, limits: LimitValues): Finding[] {
  const line = isPosterior(plan.site.tooth) ? 'central groove' : 'incisal edge'
  if (exit.class === null || exit.offsetMm === null)
    return [
      remark('exit', 'below', 'The access channel does not meet the crown: move the crown or the fixture.'),
    ]
  const met = exit.class === 'palatal' || exit.class === 'lingual' || exit.class === 'occlusal'
  const side = exit.offsetMm >= 0 ? 'facial' : oralSide(plan.site.tooth)
  const findings: Finding[] = [
    {
      code: 'exit',
      level: met ? 'met' : exit.class === 'incisal' ? 'between' : 'below',
      text: `The access channel leaves ${WORDS[exit.class]}, ${Math.abs(exit.offsetMm).toFixed(2)} mm ${side} of the ${line}.`,
      value: exit.offsetMm,
      limit: -limits('edgeBandMm').value,
      unit: 'mm',
      source: limits('edgeBandMm').source,
    },
  ]
  if (!met && exit.correctionDeg !== null) {
    const usual = limits('correctionDeg')
    const greatest = limits('correctionGreatestDeg')
    const level =
      exit.correctionDeg <= usual.value ? 'met' : exit.correctionDeg <= greatest.value ? 'between' : 'below'
    findings.push({
      code: 'correction',
      level,
      text: `An angled channel would have to bend by ${exit.correctionDeg.toFixed(1)} deg, ${limits('bendPivotMm').value} mm above the platform; usual components reach ${usual.value} deg.`,
      value: exit.correctionDeg,
      limit: usual.value,
      unit: 'deg',
      source: usual.source,
    })
  }
  return findings
}

function marginFindings(margin: MarginResult, limits: LimitValues): Finding[] {
  const gaps = noDataFindings(margin)
  if (margin.minimum === null)
    return [
      remark(
        'margin',
        'below',
        'No bone margin can be measured here: the fixture lies outside bone or outside the scan, or where data is missing.',
      ),
      ...gaps,
    ]
  const { nearestMm, uncertaintyMm } = margin.minimum
  const least = limits('marginMm')
  const open = Object.values(margin.sectors).some(({ openRays }) => openRays > 0)
  const findings = Object.entries(margin.sectors).map(([name, sector]) => {
    const facial = name === 'facial'
    return sectorFinding(
      name,
      sector,
      uncertaintyMm,
      limits(facial ? 'facialMarginMm' : 'marginMm'),
      limits(facial ? 'facialMarginTargetMm' : 'marginTargetMm'),
    )
  })
  findings.push({
    code: 'margin-nearest',
    level: nearestMm < least.value ? 'below' : open ? 'caution' : 'met',
    text:
      nearestMm < 0
        ? `The fixture sticks out of bone by ${millimetres(-nearestMm, uncertaintyMm)}${open ? ' where measured' : ''}.`
        : `The outside of bone is ${millimetres(nearestMm, uncertaintyMm)} from the fixture at its nearest${open ? ' where measured' : ''}.`,
    value: nearestMm,
    limit: least.value,
    unit: 'mm',
    source: least.source,
  })
  return [...findings, ...gaps]
}

/** Rays that meet no data are told of; a caution only where it comes before they are through the wanted margin. */
function noDataFindings(margin: MarginResult): Finding[] {
  const rays = margin.state.flat()
  const without = rays.filter((state) => state === 'no-data').length
  if (without === 0) return []
  const open = Object.values(margin.sectors).reduce((sum, sector) => sum + sector.openRays, 0)
  const met = `${without} of ${rays.length} rays round the fixture meet missing data, or the end of the scan, before the outside of bone and give no number.`
  return [
    open > 0
      ? remark('margin-no-data', 'caution', `${met} The margins are those of the other rays.`)
      : remark('margin-no-data', 'note', `${met} The wanted margin of bone lies before it on all of them.`),
  ]
}

function sectorFinding(
  name: string,
  { minimumMm, rays, openRays }: SectorMargin,
  uncertaintyMm: number,
  least: Limit,
  target: Limit,
): Finding {
  const code = `margin-${name}`
  if (minimumMm === null)
    return remark(
      code,
      'caution',
      `No ${name} margin could be measured${openRays > 0 ? ': data is missing there' : ''}.`,
    )
  const standing = minimumMm < least.value ? 'below' : minimumMm < target.value ? 'between' : 'met'
  const against = standing === 'below' ? least : target
  const words = { below: 'below', between: 'below the wanted', met: 'at least the wanted' }[standing]
  const thin = minimumMm >= 0 && minimumMm < 1 ? '; thin, may be unreliable' : ''
  const open = openRays > 0 ? `; ${openRays} of ${rays} rays there meet missing data, so it may be less` : ''
  const text = `Least ${name} bone ${millimetres(minimumMm, uncertaintyMm)}${openRays > 0 ? ' where measured' : ''}, ${words} ${against.value} mm${thin}${open}.`
  const level = openRays > 0 && standing !== 'below' ? 'caution' : standing
  return { code, level, text, value: minimumMm, limit: against.value, unit: 'mm', source: against.source }
}

function exposureFindings(margin: MarginResult): Finding[] {
  const findings: Finding[] = []
  const open = margin.exposureOpen ? ' Data is missing beside it: it may reach farther.' : ''
  if (margin.dehiscenceMm > 0)
    findings.push({
      code: 'dehiscence',
      level: 'below',
      text: `Dehiscence: the fixture is uncovered from the platform down to ${margin.dehiscenceMm.toFixed(1)} mm.${open}`,
      value: margin.dehiscenceMm,
      limit: 0,
      unit: 'mm',
      source: 'measured on the margin map',
    })
  if (margin.fenestrationMm2 > 0)
    findings.push({
      code: 'fenestration',
      level: 'below',
      text: `Fenestration: ${margin.fenestrationMm2.toFixed(1)} mm\u00b2 of the fixture is uncovered below the platform.${open}`,
      value: margin.fenestrationMm2,
      limit: 0,
      unit: 'mm2',
      source: 'measured on the margin map',
    })
  return findings
}

const millimetres = (value: number, uncertainty: number): string =>
  `${value.toFixed(2).replace('-', '\u2212')} \u00b1 ${uncertainty.toFixed(2)} mm`
