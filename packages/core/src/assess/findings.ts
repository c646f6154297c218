import type { BoneModel } from '../bone/index.js'
import { type ExitResult, isPosterior, oralSide } from '../crown/index.js'
import type { Plan } from '../plan/index.js'
import type { DensityResult, Finding, FindingLevel, MarginResult } from './assessment.js'
import type { Limit, LimitValues } from './limits.js'

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

const note = (code: string, level: FindingLevel, text: string, source = ''): Finding => ({
  code,
  level,
  text,
  value: null,
  limit: null,
  unit: '',
  source,
})

function scanFindings(plan: Plan, { volume, calibration }: BoneModel): Finding[] {
  const findings: Finding[] = []
  const { seriesUid, fingerprint } = plan.scan
  const other =
    (seriesUid !== '' && volume.identity.seriesUid !== '' && seriesUid !== volume.identity.seriesUid) ||
    (fingerprint !== undefined && fingerprint !== '' && fingerprint !== volume.identity.fingerprint)
  if (other)
    findings.push(
      note(
        'scan-mismatch',
        'caution',
        'The plan was made on another scan: check that it belongs to this patient and this series.',
      ),
    )
  if (!calibration.thickCortex)
    findings.push(
      note(
        'thin-cortex-scan',
        'caution',
        'No thick cortical bone was found to calibrate the scan by: margins may be off by 0.15 mm more.',
      ),
    )
  return findings
}

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
      note('exit', 'below', 'The access channel does not meet the crown: move the crown or the fixture.'),
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
  if (margin.minimum === null)
    return [
      note(
        'margin',
        'below',
        'No bone margin can be measured here: the fixture lies outside bone or outside the scan.',
      ),
    ]
  const { nearestMm, uncertaintyMm } = margin.minimum
  const least = limits('marginMm')
  const findings = Object.entries(margin.sectors).map(([name, sector]) => {
    const facial = name === 'facial'
    return sectorFinding(
      name,
      sector.minimumMm,
      uncertaintyMm,
      limits(facial ? 'facialMarginMm' : 'marginMm'),
      limits(facial ? 'facialMarginTargetMm' : 'marginTargetMm'),
    )
  })
  findings.push({
    code: 'margin-nearest',
    level: nearestMm < least.value ? 'below' : 'met',
    text:
      nearestMm < 0
        ? `The fixture sticks out of bone by ${millimetres(-nearestMm, uncertaintyMm)}.`
        : `The outside of bone is ${millimetres(nearestMm, uncertaintyMm)} from the fixture at its nearest.`,
    value: nearestMm,
    limit: least.value,
    unit: 'mm',
    source: least.source,
  })
  return findings
}

function sectorFinding(
  name: string,
  minimumMm: number | null,
  uncertaintyMm: number,
  least: Limit,
  target: Limit,
): Finding {
  const code = `margin-${name}`
  if (minimumMm === null) return note(code, 'caution', `No ${name} margin could be measured.`)
  const level = minimumMm < least.value ? 'below' : minimumMm < target.value ? 'between' : 'met'
  const against = level === 'below' ? least : target
  const words = { below: 'below', between: 'below the wanted', met: 'at least the wanted' }[level]
  const text = `Least ${name} bone ${millimetres(minimumMm, uncertaintyMm)}, ${words} ${against.value} mm${
    minimumMm >= 0 && minimumMm < 1 ? '; thin, may be unreliable' : ''
  }.`
  return { code, level, text, value: minimumMm, limit: against.value, unit: 'mm', source: against.source }
}

function exposureFindings(margin: MarginResult): Finding[] {
  const findings: Finding[] = []
  if (margin.dehiscenceMm > 0)
    findings.push({
      code: 'dehiscence',
      level: 'below',
      text: `Dehiscence: the fixture is uncovered from the platform down to ${margin.dehiscenceMm.toFixed(1)} mm.`,
      value: margin.dehiscenceMm,
      limit: 0,
      unit: 'mm',
      source: 'measured on the margin map',
    })
  if (margin.fenestrationMm2 > 0)
    findings.push({
      code: 'fenestration',
      level: 'below',
      text: `Fenestration: ${margin.fenestrationMm2.toFixed(1)} mm\u00b2 of the fixture is uncovered below the platform.`,
      value: margin.fenestrationMm2,
      limit: 0,
      unit: 'mm2',
      source: 'measured on the margin map',
    })
  return findings
}

function densityFindings({ unit, shell }: DensityResult): Finding[] {
  if (shell === null) return [note('density', 'caution', 'The fixture lies outside the scan: no density.')]
  return [
    {
      code: 'density',
      level: 'note',
      text: `Median ${shell.median.toFixed(0)} (5 to 95 %: ${shell.p5.toFixed(0)} to ${shell.p95.toFixed(0)}) within 0.5 mm of the fixture, ${unit}.`,
      value: shell.median,
      limit: null,
      unit,
      source: 'grey values differ between scanners and places (Campos 2014, World J Radiol 6:607)',
    },
  ]
}

const millimetres = (value: number, uncertainty: number): string =>
  `${value.toFixed(2).replace('-', '\u2212')} \u00b1 ${uncertainty.toFixed(2)} mm`
