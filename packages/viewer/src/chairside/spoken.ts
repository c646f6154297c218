import type { Assessment } from '@alveometer/core'
import { mmTolerance } from '../text/format.js'
import { exitWords } from '../text/words.js'

/** The two numbers that matter in one sentence, for those who hear the page. */
export function spoken(assessment: Assessment | null): string {
  if (assessment === null) return ''
  const { exit, margin } = assessment
  const leaves = exit.class === null ? 'does not meet the crown' : `leaves ${exitWords[exit.class]}`
  const least = margin.minimum
  const bone = least === null ? 'no number' : mmTolerance(least.nearestMm, least.uncertaintyMm)
  const open = Object.values(margin.sectors).some((s) => s.openRays > 0)
  return `Access channel ${leaves}; least bone ${bone}${open ? ', or less where data is missing' : ''}`
}
