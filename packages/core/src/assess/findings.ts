import type { BoneModel } from '../bone/index.js'
import type { ExitResult } from '../crown/index.js'
import type { Plan } from '../plan/index.js'
import type { Finding, FindingLevel } from './assessment.js'
import { densityFindings } from './density-findings.js'
import type { DensityResult } from './density-result.js'
import { exitFindings } from './exit-findings.js'
import { exposureFindings } from './exposure-findings.js'
import type { LimitValues } from './limits.js'
import { marginFindings } from './margin-findings.js'
import type { MarginResult } from './margin-result.js'
import { rayFindings } from './ray-findings.js'
import { scanFindings } from './scan-findings.js'

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
    ...exposureFindings(margin, plan.site.tooth),
    ...rayFindings(margin, plan.site.tooth),
    ...densityFindings(density),
  ]
  return findings.sort((a, b) => RANK.indexOf(a.level) - RANK.indexOf(b.level))
}

const RANK: readonly FindingLevel[] = ['below', 'caution', 'between', 'met', 'note']
