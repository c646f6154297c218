import { type Emergence, isPosterior, isUpper, oralSide } from '../crown/index.js'
import type { Finding } from './assessment.js'
import { atLeastMm, atMostDeg, atMostMm, deg, depthWords, mm, sideWords } from './crown-words.js'
import type { Limit } from './limit.js'
import type { LimitValues } from './limits.js'

/** How the platform lies under the crown: depth, room above it, steepness, and orofacial place. */
export const emergenceFindings = (tooth: string, emergence: Emergence, limits: LimitValues): Finding[] => [
  depthFinding(emergence, limits),
  heightFinding(emergence, limits),
  steepestFinding(tooth, emergence, limits),
  placeFinding(tooth, emergence, limits),
]

const against = (
  code: string,
  level: Finding['level'],
  text: string,
  value: number,
  { value: limit, unit, source }: Limit,
): Finding => ({ code, level, text, value, limit, unit, source })

const CEJ_SOURCE = "about 1 mm below the neighbours' cemento-enamel junction is usual (from memory)"

function depthFinding(emergence: Emergence, limits: LimitValues): Finding {
  const least = limits('platformDepthLeastMm')
  const greatest = limits('platformDepthGreatestMm')
  const { belowMarginMm, belowMesialCejMm, belowDistalCejMm } = emergence
  const shallow = !atLeastMm(belowMarginMm, least.value)
  const deep = !atMostMm(belowMarginMm, greatest.value)
  const neighbours = [
    ...neighbourWords('mesial', belowMesialCejMm),
    ...neighbourWords('distal', belowDistalCejMm),
  ]
  const also = neighbours.length === 0 ? '' : ` It lies ${neighbours.join(', and ')}.`
  const crossed = deep ? greatest : least
  return against(
    'platform-depth',
    shallow || deep ? 'below' : 'met',
    `The platform lies ${depthWords(belowMarginMm, 'the planned margin')}; wanted ${least.value} to ${greatest.value} mm.${also}`,
    belowMarginMm,
    neighbours.length === 0 ? crossed : { ...crossed, source: `${crossed.source}; ${CEJ_SOURCE}` },
  )
}

const neighbourWords = (name: string, belowMm: number | null): string[] =>
  belowMm === null ? [] : [depthWords(belowMm, `the ${name} neighbour's cemento-enamel junction`)]

function heightFinding({ crownHeightMm }: Emergence, limits: LimitValues): Finding {
  const screw = limits('crownHeightScrewMm')
  const cement = limits('crownHeightCementMm')
  const enough = atLeastMm(crownHeightMm, screw.value)
  const forCement = atLeastMm(crownHeightMm, cement.value)
  return against(
    'crown-height',
    !enough ? 'below' : forCement ? 'met' : 'between',
    `The crown's top is ${mm(crownHeightMm)} ${crownHeightMm >= 0 ? 'above' : 'below'} the platform; a screwed crown wants ${screw.value} mm, a cemented one ${cement.value} mm.`,
    crownHeightMm,
    enough ? cement : screw,
  )
}

function steepestFinding(tooth: string, { profile }: Emergence, limits: LimitValues): Finding {
  const greatest = limits('emergenceDeg')
  const steepest = profile.reduce((a, b) => (b.emergenceDeg > a.emergenceDeg ? b : a))
  return against(
    'emergence',
    atMostDeg(steepest.emergenceDeg, greatest.value) ? 'met' : 'below',
    `Steepest emergence ${deg(steepest.emergenceDeg)}, ${sideWords(steepest.side, tooth)}; wanted at most ${greatest.value} deg.`,
    steepest.emergenceDeg,
    greatest,
  )
}

/** The band was told of the upper front: elsewhere the distance is only noted. */
function placeFinding(tooth: string, { rimOralOfEmergenceMm }: Emergence, limits: LimitValues): Finding {
  const target = limits('rimOralTargetMm')
  const side = rimOralOfEmergenceMm >= 0 ? oralSide(tooth) : 'facial'
  const text = `The platform's facial rim lies ${mm(rimOralOfEmergenceMm)} ${side} of the crown's facial margin`
  if (isPosterior(tooth) || !isUpper(tooth))
    return {
      code: 'platform-place',
      level: 'note',
      text: `${text}.`,
      value: rimOralOfEmergenceMm,
      limit: null,
      unit: 'mm',
      source: 'measured on the planned crown',
    }
  const least = limits('rimOralLeastMm')
  const greatest = limits('rimOralGreatestMm')
  const told = (level: Finding['level'], limit: Limit, why: string) =>
    against(
      'platform-place',
      level,
      `${text}; wanted ${target.value} to ${greatest.value} mm ${oralSide(tooth)}${why}.`,
      rimOralOfEmergenceMm,
      limit,
    )
  if (!atLeastMm(rimOralOfEmergenceMm, least.value)) return told('below', least, ': the mucosa may recede')
  if (!atMostMm(rimOralOfEmergenceMm, greatest.value))
    return told('below', greatest, ': the crown would lap over the ridge')
  return atLeastMm(rimOralOfEmergenceMm, target.value) ? told('met', target, '') : told('between', target, '')
}
