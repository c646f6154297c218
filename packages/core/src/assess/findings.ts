import type { BoneModel } from '../bone/index.js'
import type { Plan } from '../plan/index.js'
import type { Finding, FindingLevel } from './assessment.js'
import { densityFindings } from './density-findings.js'
import type { DensityResult } from './density-result.js'
import { emergenceFindings } from './emergence-findings.js'
import { exitFindings } from './exit-findings.js'
import { exposureFindings } from './exposure-findings.js'
import { type GraftKnown, graftFindings } from './graft-findings.js'
import type { LimitValues } from './limits.js'
import { marginFindings } from './margin-findings.js'
import type { MarginResult } from './margin-result.js'
import { rayFindings } from './ray-findings.js'
import type { Restoration } from './restoration.js'
import { scanFindings } from './scan-findings.js'

/** What there is to say about a plan, the worst first. Of a crown that the channel misses only that. */
export function findingsOf(
  plan: Plan,
  model: BoneModel,
  restoration: Restoration,
  margin: MarginResult,
  graft: GraftKnown,
  density: DensityResult,
  limits: LimitValues,
): Finding[] {
  const findings = [
    ...scanFindings(plan, model),
    ...exitFindings(plan, restoration, limits),
    ...(restoration.exit.class === null
      ? []
      : emergenceFindings(plan.site.tooth, restoration.emergence, limits)),
    ...marginFindings(margin, limits),
    ...exposureFindings(margin, plan.site.tooth),
    ...graftFindings(graft, margin, limits),
    ...rayFindings(margin, plan.site.tooth),
    ...densityFindings(density),
  ]
  return findings.sort((a, b) => RANK.indexOf(a.level) - RANK.indexOf(b.level))
}

const RANK: readonly FindingLevel[] = ['below', 'caution', 'between', 'met', 'note']
