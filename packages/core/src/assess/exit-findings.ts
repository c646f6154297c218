import { isPosterior } from '../crown/index.js'
import type { Plan } from '../plan/index.js'
import type { Finding, FindingLevel } from './assessment.js'
import { atLeastMm, atMostDeg, deg, edgeWords, faceWords, facialOrOral, mm, sameDeg } from './crown-words.js'
import { remark } from './finding.js'
import type { LimitValues } from './limits.js'
import type { Restoration } from './restoration.js'
import { percent } from './words.js'

const WORDS = {
  palatal: 'behind the tooth',
  lingual: 'behind the tooth',
  occlusal: 'through the occlusal table',
  incisal: 'through the incisal edge',
  facial: 'at the front of the crown',
} as const

/** Where the access channel leaves, what an angled one would have to do, and how much crown is left round the straight one. */
export function exitFindings(plan: Plan, restoration: Restoration, limits: LimitValues): Finding[] {
  const { exit } = restoration
  const { tooth } = plan.site
  if (exit.class === null || exit.offsetMm === null)
    return [
      remark('exit', 'below', 'The access channel does not meet the crown: move the crown or the fixture.'),
    ]
  const met = exit.class === 'palatal' || exit.class === 'lingual' || exit.class === 'occlusal'
  return [
    {
      code: 'exit',
      level: met ? 'met' : exit.class === 'incisal' ? 'between' : 'below',
      text: `The access channel leaves ${WORDS[exit.class]}, ${mm(exit.offsetMm)} ${facialOrOral(exit.offsetMm, tooth)} of the ${edgeWords(tooth)}.`,
      value: exit.offsetMm,
      ...(isPosterior(tooth)
        ? { limit: null, source: "held against the outline of the crown's occlusal table" }
        : { limit: -limits('edgeBandMm').value, source: limits('edgeBandMm').source }),
      unit: 'mm',
    },
    ...(met ? [] : correctionFindings(restoration, limits)),
    ...wallFindings(tooth, restoration, met, limits),
  ]
}

function correctionFindings({ angled }: Restoration, limits: LimitValues): Finding[] {
  const { least, leastWithWall } = angled
  const usual = limits('correctionDeg')
  const wallMm = limits('leastWallMm').value
  if (least === null)
    return [
      remark(
        'correction',
        'below',
        'No angled channel brings the exit to the wanted place: none that bends by up to 60 deg.',
      ),
    ]
  const also =
    leastWithWall === null
      ? `, and none keeps ${wallMm} mm of wall`
      : sameDeg(least.correctionDeg, leastWithWall.correctionDeg)
        ? ''
        : `, by ${deg(leastWithWall.correctionDeg)} to keep ${wallMm} mm of wall`
  const needed = (leastWithWall ?? least).correctionDeg
  return [
    {
      code: 'correction',
      level: leastWithWall === null ? 'below' : correctionLevel(needed, limits),
      text: `An angled channel would have to bend by ${deg(least.correctionDeg)}, ${limits('bendPivotMm').value} mm above the platform${also}; usual components reach ${usual.value} deg.`,
      value: needed,
      limit: usual.value,
      unit: 'deg',
      source: usual.source,
    },
  ]
}

function correctionLevel(correctionDeg: number, limits: LimitValues): FindingLevel {
  if (atMostDeg(correctionDeg, limits('correctionDeg').value)) return 'met'
  return atMostDeg(correctionDeg, limits('correctionGreatestDeg').value) ? 'between' : 'below'
}

function wallFindings(
  tooth: string,
  { channel, angled }: Restoration,
  met: boolean,
  limits: LimitValues,
): Finding[] {
  const { wall, closedShare, diameterMm } = channel
  const least = limits('leastWallMm')
  const open = closedShare < 1
  if (wall === null && !open) return []
  const kept = wall !== null && !open && atLeastMm(wall.mm, least.value)
  const bend = kept || !met ? null : angled.leastWithWall
  const remedy = bend === null ? '' : ` An angled channel bent by ${deg(bend.correctionDeg)} would keep it.`
  const text =
    wall === null || open
      ? `is open at a side: ${percent(1 - closedShare)} of its wall has no crown round it`
      : wall.mm < 0
        ? `breaks through the crown ${faceWords(wall.region, tooth)} by ${mm(wall.mm)}`
        : `leaves ${mm(wall.mm)} of crown ${faceWords(wall.region, tooth)}`
  return [
    {
      code: 'channel-wall',
      level: kept ? 'met' : 'below',
      text: `The access channel, ${diameterMm} mm wide, ${text}; wanted ${least.value} mm of wall.${remedy}`,
      value: wall?.mm ?? null,
      limit: least.value,
      unit: 'mm',
      source: least.source,
    },
  ]
}
