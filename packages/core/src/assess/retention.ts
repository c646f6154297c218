import { isPosterior, oralSide } from '../crown/index.js'
import {
  atLeastMm,
  atMostDeg,
  atMostMm,
  deg,
  depthWords,
  edgeWords,
  faceWords,
  facialOrOral,
  mm,
  sameDeg,
} from './crown-words.js'
import type { LimitValues } from './limits.js'
import type { Restoration } from './restoration.js'
import type { RetentionFinding, RetentionReason, RetentionWay } from './retention-result.js'
import { RETENTION_STATEMENTS } from './retention-statements.js'
import { percent } from './words.js'

type Verdict = RetentionFinding['verdict']

/** A restoration on a tooth, held against these limits. */
interface Held extends Restoration {
  readonly tooth: string
  readonly limits: LimitValues
}

const MEASURED = 'measured on the planned crown'
const WORST: readonly Verdict[] = ['closed', 'reserve', 'open']

/**
 * The three ways of holding the crown, always all and in this order. The verdict is the worst that any measured number
 * makes of the way; nothing else enters it, and none is recommended.
 */
export function retentionFindings(
  tooth: string,
  restoration: Restoration,
  limits: LimitValues,
): RetentionFinding[] {
  const held = { ...restoration, tooth, limits }
  return [
    found('screw-straight', straight(held)),
    found('screw-angled', angledWay(held)),
    found('cemented', cemented(held)),
  ]
}

const found = (way: RetentionWay, reasons: readonly RetentionReason[]): RetentionFinding => ({
  way,
  verdict: WORST.find((verdict) => reasons.some((reason) => reason.verdict === verdict)) ?? 'open',
  because: reasons,
  ...RETENTION_STATEMENTS[way],
})

const MISSED: RetentionReason = {
  verdict: 'closed',
  text: 'The straight channel does not meet the crown.',
  source: MEASURED,
}

function straight(held: Held): RetentionReason[] {
  if (held.exit.class === null || held.exit.offsetMm === null) return [MISSED]
  return [exitReason(held, held.exit.offsetMm), ...wallReasons(held), screwHeight(held)]
}

function exitReason({ exit, tooth, limits }: Held, offsetMm: number): RetentionReason {
  const band = limits('edgeBandMm')
  const met = exit.class !== 'incisal' && exit.class !== 'facial'
  const place = `${mm(offsetMm)} ${facialOrOral(offsetMm, tooth)} of the ${edgeWords(tooth)}`
  if (isPosterior(tooth))
    return {
      verdict: exit.class === 'occlusal' ? 'open' : 'closed',
      text: `The straight channel leaves ${place}, ${exit.class === 'occlusal' ? 'through' : 'outside'} the occlusal table; wanted through it.`,
      source: MEASURED,
    }
  const face = exit.region === 'facial' ? 'by the facial face, ' : ''
  return {
    verdict: met ? 'open' : exit.class === 'incisal' ? 'reserve' : 'closed',
    text: `The straight channel leaves ${face}${place}; wanted at least ${band.value} mm ${oralSide(tooth)} of it.`,
    source: band.source,
  }
}

function wallReasons({ channel, tooth, limits }: Held): RetentionReason[] {
  const least = limits('leastWallMm')
  if (channel.closedShare < 1)
    return [
      {
        verdict: 'closed',
        text: `The straight channel is open at a side: ${percent(1 - channel.closedShare)} of its wall has no crown round it.`,
        source: MEASURED,
      },
    ]
  const { wall } = channel
  if (wall === null) return []
  const where = faceWords(wall.region, tooth)
  return [
    {
      verdict: atLeastMm(wall.mm, least.value) ? 'open' : 'closed',
      text:
        wall.mm < 0
          ? `The straight channel breaks through the crown ${where} by ${mm(wall.mm)}; wanted at least ${least.value} mm of wall.`
          : `Its least wall is ${mm(wall.mm)}, ${where}; wanted at least ${least.value} mm.`,
      source: least.source,
    },
  ]
}

function screwHeight({ emergence, limits }: Held): RetentionReason {
  const least = limits('crownHeightScrewMm')
  return {
    verdict: atLeastMm(emergence.crownHeightMm, least.value) ? 'open' : 'closed',
    text: `${height(emergence.crownHeightMm)}; wanted at least ${least.value} mm.`,
    source: least.source,
  }
}

/** How far the crown's top lies from the platform. */
const height = (crownHeightMm: number): string =>
  `The crown's top is ${mm(crownHeightMm)} ${crownHeightMm >= 0 ? 'above' : 'below'} the platform`

const angledWay = (held: Held): RetentionReason[] => [...bendReasons(held), angledHeight(held)]

function bendReasons(held: Held): RetentionReason[] {
  const { angled, tooth, limits } = held
  const wall = limits('leastWallMm')
  const { least, leastWithWall } = angled
  if (least === null)
    return [
      {
        verdict: 'closed',
        text: 'No bend up to 60 deg brings the exit to the wanted place.',
        source: MEASURED,
      },
    ]
  const usual = limits('correctionDeg')
  const greatest = limits('correctionGreatestDeg')
  const neededDeg = (leastWithWall ?? least).correctionDeg
  const reason: RetentionReason = {
    verdict: atMostDeg(neededDeg, usual.value)
      ? 'open'
      : atMostDeg(neededDeg, greatest.value)
        ? 'reserve'
        : 'closed',
    text: `${bendWords(held, least.correctionDeg)}; usual parts bend by ${usual.value} deg at most, some by ${greatest.value} deg.`,
    source: usual.source,
  }
  if (leastWithWall !== null) return [reason]
  const left =
    least.wall === null
      ? ''
      : `; the least bend leaves ${least.wall.mm < 0 ? 'none' : mm(least.wall.mm)} ${faceWords(least.wall.region, tooth)}`
  return [
    reason,
    {
      verdict: 'closed',
      text: `No bend to the wanted place keeps ${wall.value} mm of wall${left}.`,
      source: wall.source,
    },
  ]
}

/** The bend to the wanted place, and the one that keeps the wall where that is another. */
function bendWords({ angled: { leastWithWall }, limits }: Held, leastDeg: number): string {
  const bend =
    leastDeg === 0
      ? 'Without any bend the exit is in the wanted place'
      : `A bend of ${deg(leastDeg)} brings the exit to the wanted place`
  if (leastWithWall === null) return bend
  const wall = `${limits('leastWallMm').value} mm of wall`
  return sameDeg(leastWithWall.correctionDeg, leastDeg)
    ? `${bend} and keeps ${wall}`
    : `${bend}, one of ${deg(leastWithWall.correctionDeg)} keeps ${wall} as well`
}

/** A part that sits on the fixture itself needs as little height as a straight one; one on an abutment needs more. */
function angledHeight({ emergence, limits }: Held): RetentionReason {
  const least = limits('crownHeightScrewMm')
  const wanted = limits('crownHeightAngledMm')
  const { crownHeightMm } = emergence
  return {
    verdict: atLeastMm(crownHeightMm, wanted.value)
      ? 'open'
      : atLeastMm(crownHeightMm, least.value)
        ? 'reserve'
        : 'closed',
    text: `${height(crownHeightMm)}; wanted at least ${least.value} mm with the part on the fixture itself, ${wanted.value} mm with an abutment under it.`,
    source: wanted.source,
  }
}

function cemented({ emergence, limits }: Held): RetentionReason[] {
  const least = limits('crownHeightCementMm')
  return [
    cementLine(emergence.belowMarginMm, limits),
    {
      verdict: atLeastMm(emergence.crownHeightMm, least.value) ? 'open' : 'closed',
      text: `${height(emergence.crownHeightMm)}; wanted at least ${least.value} mm.`,
      source: least.source,
    },
  ]
}

/** The line lies no deeper than the platform; an abutment can raise it, so depth alone closes nothing. */
function cementLine(depthMm: number, limits: LimitValues): RetentionReason {
  const greatest = limits('cementMarginDepthMm')
  const target = limits('cementMarginTargetMm')
  const platform = `The platform lies ${depthWords(depthMm, 'the planned margin')}`
  if (atMostMm(depthMm, target.value))
    return {
      verdict: 'open',
      text: `${platform}, a cement line no deeper; wanted ${target.value} mm at most.`,
      source: target.source,
    }
  if (atMostMm(depthMm, greatest.value))
    return {
      verdict: 'reserve',
      text: `${platform}; a cement line is wanted ${target.value} mm below it at most, ${greatest.value} mm is the limit.`,
      source: target.source,
    }
  return {
    verdict: 'reserve',
    text: `${platform}: the abutment has to raise the cement line by ${mm(depthMm - greatest.value)} to the limit of ${greatest.value} mm, by ${mm(depthMm - target.value)} to the wanted ${target.value} mm.`,
    source: greatest.source,
  }
}
