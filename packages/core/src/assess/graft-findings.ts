import type { DeficitGraft, GraftSize } from '../graft/index.js'
import type { Finding } from './assessment.js'
import { remark } from './finding.js'
import type { GraftAssessment } from './graft-assessment.js'
import { graftedMarginFindings } from './graft-margin-findings.js'
import { extentWords, lossWords, volumeWords, wantedWords } from './graft-words.js'
import type { LimitValues } from './limits.js'
import type { MarginResult } from './margin-result.js'

/** Means of published gains, mm, and their 95 % intervals. */
const LATERAL = { mm: 3.9, interval: '3.52 to 4.28', source: 'Sanz-Sánchez 2015, J Dent Res 94:128S' }
const VERTICAL = {
  mm: 4.16,
  interval: '3.72 to 4.61',
  source: 'Urban 2019, J Clin Periodontol 46(Suppl 21):319',
}

const MEASURED = "measured between the bone's and the graft's outside"
const LOSSES =
  '12.48 % of the volume to fixture placement after guided regeneration, 7.20 % of blocks: Gultekin 2016, BioMed Res Int; blocks 0.60 to 0.80 mm in a year: PMC4728796; 10 to 20 % or 0.5 to 1 mm in practice (from memory)'

/** What is known of a plan's graft: the graft itself where it comes to anything, and what one to the wanted margins takes. */
export interface GraftKnown {
  readonly planned: boolean
  readonly graft: GraftAssessment | null
  readonly wanted: DeficitGraft
  readonly needed: GraftSize | null
  /** Height over which bone is missing all round, mm. */
  readonly verticalMm: number
}

/** What a planned graft comes to and changes; without one, what one would take where bone is missing. */
export function graftFindings(known: GraftKnown, before: MarginResult, limits: LimitValues): Finding[] {
  const { planned, graft, needed, wanted } = known
  if (graft !== null)
    return [
      sizeFinding(graft),
      keptFinding(graft),
      ...graftedMarginFindings(graft, before, limits),
      ...gainFindings(graft, known.verticalMm),
      ...shortFindings(graft),
      BULK,
    ]
  const nothing = planned
    ? [
        remark(
          'graft-nothing',
          'note',
          'The planned graft comes to nothing here: bone reaches as far already, or data is missing.',
        ),
      ]
    : []
  return needed === null ? nothing : [...nothing, neededFinding(needed, wanted)]
}

function sizeFinding({ built }: GraftAssessment): Finding {
  return {
    code: 'graft',
    level: 'note',
    text: `The planned graft comes to ${volumeWords(built)}, ${extentWords(built)}.`,
    value: built.volumeMm3,
    limit: null,
    unit: 'mm3',
    source: MEASURED,
  }
}

function keptFinding({ kept, spec }: GraftAssessment): Finding {
  const overbuilt = spec.kind === 'deficit' && spec.overbuilt
  return {
    code: 'graft-kept',
    level: 'note',
    text: `${volumeWords(kept)} of it are expected to remain: ${lossWords(spec.loss)} is taken to resorb${overbuilt ? ', for which it is built thicker' : ''}.`,
    value: kept.volumeMm3,
    limit: null,
    unit: 'mm3',
    source: LOSSES,
  }
}

function gainFindings({ built }: GraftAssessment, verticalMm: number): Finding[] {
  return [
    ...(built.greatestMm > LATERAL.mm
      ? [
          beyond(
            'graft-thick',
            `At most ${built.greatestMm.toFixed(1)} mm thick, more than was gained across on average: ${LATERAL.mm.toFixed(2)} mm (${LATERAL.interval}), mostly with blocks and before the fixture.`,
            built.greatestMm,
            LATERAL,
          ),
        ]
      : []),
    ...(verticalMm > VERTICAL.mm
      ? [
          beyond(
            'graft-high',
            `Bone is missing all round over ${verticalMm.toFixed(1)} mm of height, more than was gained in height on average: ${VERTICAL.mm} mm (${VERTICAL.interval}).`,
            verticalMm,
            VERTICAL,
          ),
        ]
      : []),
  ]
}

const beyond = (code: string, text: string, value: number, gain: typeof LATERAL): Finding => ({
  code,
  level: 'caution',
  text,
  value,
  limit: gain.mm,
  unit: 'mm',
  source: gain.source,
})

/** Where the graft cannot be all that was asked, or is not known. */
function shortFindings({ cappedMm, openRays }: GraftAssessment): Finding[] {
  const capped: Finding = {
    code: 'graft-capped',
    level: 'caution',
    text: `The natural contour keeps the graft up to ${cappedMm.toFixed(2)} mm below the wanted thickness.`,
    value: cappedMm,
    limit: 0,
    unit: 'mm',
    source: MEASURED,
  }
  const open: Finding = {
    code: 'graft-open',
    level: 'caution',
    text: `Over ${openRays} rays data is missing: no graft is reckoned there, and it may take more.`,
    value: openRays,
    limit: null,
    unit: 'rays',
    source: 'measured on the margin map',
  }
  return [...(cappedMm > HALF_DIGIT_MM ? [capped] : []), ...(openRays > 0 ? [open] : [])]
}

/** What is printed as 0.00 is none. */
const HALF_DIGIT_MM = 0.005

const BULK = remark(
  'graft-bulk',
  'note',
  'A net volume of the healed form: packed particulate needs more bulk. A facial graft at a single tooth usually takes 250 to 500 mm\u00b3 (0.25 to 0.5 cc) of it.',
  'common practice (from memory)',
)

function neededFinding(needed: GraftSize, wanted: DeficitGraft): Finding {
  return {
    code: 'graft-needed',
    level: 'note',
    text: `A graft to ${wantedWords(wanted)} would take ${volumeWords(needed)}, ${extentWords(needed)}, without what resorbs. Another place or tilt of the fixture may take less.`,
    value: needed.volumeMm3,
    limit: null,
    unit: 'mm3',
    source: MEASURED,
  }
}
