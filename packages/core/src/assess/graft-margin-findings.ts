import type { Finding } from './assessment.js'
import type { GraftAssessment } from './graft-assessment.js'
import { shownMm } from './interval.js'
import type { Limit } from './limit.js'
import type { LimitValues } from './limits.js'
import type { MarginCover, SectorMargin } from './margin-cover.js'
import type { MarginResult } from './margin-result.js'
import { millimetres, percent } from './words.js'

/** Numbers are held against limits as they are printed: half a unit of the last digit. */
const HALF_DIGIT_MM = 0.005
/** Height and area below which what is left bare is not told: printed as 0.0. */
const HALF_TENTH = 0.05

const MEASURED = 'measured on the margin map with the graft'

/** The margins, and what lies bare, before a graft, with it and after the expected loss. */
export function graftedMarginFindings(
  graft: GraftAssessment,
  before: MarginResult,
  limits: LimitValues,
): Finding[] {
  return [
    facialFinding(graft, before, limits),
    othersFinding(graft, before, limits),
    bareFinding(graft, before),
  ].filter((finding) => finding !== null)
}

function facialFinding(graft: GraftAssessment, before: MarginResult, limits: LimitValues): Finding | null {
  return heldFinding(
    'facial',
    (cover) => cover.sectors.facial ?? null,
    graft,
    before,
    limits('facialMarginMm'),
    limits('facialMarginTargetMm'),
  )
}

function othersFinding(graft: GraftAssessment, before: MarginResult, limits: LimitValues): Finding | null {
  return heldFinding('other', leastOther, graft, before, limits('marginMm'), limits('marginTargetMm'))
}

/** Of the sectors but the facial one, that with the least margin. */
function leastOther({ sectors }: MarginCover): SectorMargin | null {
  let least: SectorMargin | null = null
  for (const [name, sector] of Object.entries(sectors)) {
    if (name === 'facial' || sector.minimumMm === null) continue
    if (least === null || sector.minimumMm < (least.minimumMm ?? 0)) least = sector
  }
  return least
}

/** What is held against the limits is what is expected to remain. */
function heldFinding(
  name: string,
  sectorOf: (cover: MarginCover) => SectorMargin | null,
  { after, afterLoss }: GraftAssessment,
  before: MarginResult,
  least: Limit,
  target: Limit,
): Finding | null {
  const [was, built, kept] = [sectorOf(before), sectorOf(after), sectorOf(afterLoss)]
  const remains = kept?.minimumMm ?? null
  if (kept === null || remains === null || built === null || built.minimumMm === null) return null
  const standing = !meets(remains, least.value) ? 'below' : !meets(remains, target.value) ? 'between' : 'met'
  const against = standing === 'below' ? least : target
  const words = { below: 'below', between: 'below the wanted', met: 'at least the wanted' }[standing]
  const openWords = kept.openRays > 0 ? '; data is missing there, so it may be less' : ''
  return {
    code: `graft-margin-${name}`,
    level: kept.openRays > 0 && standing !== 'below' ? 'caution' : standing,
    text: `With the graft the least ${name === 'facial' ? 'facial bone' : 'bone on the other sides'} is ${built.minimumMm.toFixed(2)} mm (before ${beforeWords(was, before)}) and ${millimetres(remains, shownMm(before.interval, kept.halfWidthMm ?? 0))} after the expected loss, ${words} ${against.value} mm${openWords}.`,
    value: remains,
    limit: against.value,
    unit: 'mm',
    source: against.source,
  }
}

const meets = (mm: number, limitMm: number): boolean => mm >= limitMm - HALF_DIGIT_MM

function beforeWords(sector: SectorMargin | null, { interval }: MarginResult): string {
  const minimumMm = sector?.minimumMm ?? null
  return minimumMm === null
    ? 'none measured'
    : millimetres(minimumMm, shownMm(interval, sector?.halfWidthMm ?? 0))
}

/** Null where nothing lay bare before and nothing does after. */
function bareFinding({ after, afterLoss }: GraftAssessment, before: MarginResult): Finding | null {
  const all = [before, after, afterLoss]
  const parts = [
    ['The dehiscence', all.map(({ dehiscenceMm }) => dehiscenceMm), 'mm'],
    ['what lies bare below the platform', all.map(({ fenestrationMm2 }) => fenestrationMm2), 'mm\u00b2'],
  ] as const
  const told = parts.filter(([, values]) => values.some((value) => value >= HALF_TENTH))
  if (told.length === 0) return null
  const text = told
    .map(
      ([what, [was, built, kept], unit]) =>
        `${what} goes from ${was.toFixed(1)} to ${built.toFixed(1)} ${unit}, after the expected loss ${kept.toFixed(1)} ${unit}`,
    )
    .join('; ')
  const left = Math.max(afterLoss.dehiscenceMm, afterLoss.fenestrationMm2)
  return {
    code: 'graft-bare',
    level: left >= HALF_TENTH ? 'below' : 'met',
    text: `${text.charAt(0).toUpperCase()}${text.slice(1)}; bone and graft cover ${percent(afterLoss.inBone.share)} of the fixture's side then.`,
    value: afterLoss.dehiscenceMm,
    limit: 0,
    unit: 'mm',
    source: MEASURED,
  }
}
