import { defaultDeficitGraft, distance, normalize, type Plan, type WayFound } from '@alveometer/core'
import { planOf } from './way-planes.js'

type Placed = Pick<WayFound, 'way' | 'pose' | 'shape'>

/** The plan with a way out adopted: its fixture, and a graft where the way needs one and none where it does not. */
export function adoptedPlan(plan: Plan, found: Placed): Plan {
  const { graft, ...bare } = planOf(plan, found)
  if (found.way !== 'straight-graft') return bare
  return { ...bare, graft: graft ?? defaultDeficitGraft(plan.site.tooth, plan.limits) }
}

/** So near is the same place, mm; and directions as their sines. */
const SAME = 1e-6

/** Whether a plan is that of a way, as far as a fixture and its graft tell. */
export function isAdopted(plan: Plan, found: Placed): boolean {
  const { platform, apical, shape } = plan.fixture
  return (
    distance(platform, found.pose.platform) < SAME &&
    distance(normalize(apical), normalize(found.pose.apical)) < SAME &&
    JSON.stringify(shape) === JSON.stringify(found.shape) &&
    (plan.graft !== undefined) === (found.way === 'straight-graft')
  )
}
