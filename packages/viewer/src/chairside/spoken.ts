import type { Assessment } from '@alveometer/core'
import { mm3, mmTolerance } from '../text/format.js'
import { exitWords } from '../text/words.js'

/** The two numbers that matter in one sentence, and what a planned graft makes of the second; for those who hear the page. */
export function spoken(assessment: Assessment | null): string {
  if (assessment === null) return ''
  const { exit, margin } = assessment
  const leaves = exit.class === null ? 'does not meet the crown' : `leaves ${exitWords[exit.class]}`
  const least = margin.minimum
  const bone = least === null ? 'no number' : mmTolerance(least.nearestMm, least.uncertaintyMm)
  const open = Object.values(margin.sectors).some((s) => s.openRays > 0)
  return `Access channel ${leaves}; least bone ${bone}${open ? ', or less where data is missing' : ''}${grafted(assessment)}`
}

function grafted({ graft }: Assessment): string {
  const least = graft?.after.minimum ?? null
  if (graft === null || least === null) return ''
  return `; with the graft of ${mm3(graft.built.volumeMm3)} ${mmTolerance(least.nearestMm, least.uncertaintyMm)}`
}
