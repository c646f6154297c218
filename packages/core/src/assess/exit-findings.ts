import { type ExitResult, isPosterior, oralSide } from '../crown/index.js'
import type { Plan } from '../plan/index.js'
import type { Finding } from './assessment.js'
import { remark } from './finding.js'
import type { LimitValues } from './limits.js'

const WORDS = {
  palatal: 'behind the tooth',
  lingual: 'behind the tooth',
  occlusal: 'through the occlusal table',
  incisal: 'through the incisal edge',
  facial: 'at the front of the crown',
} as const

/** Where the access channel leaves, and what an angled one would have to do. */
export function exitFindings(plan: Plan, exit: ExitResult, limits: LimitValues): Finding[] {
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
