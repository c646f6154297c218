import type { ExploredSite } from './explored-site.js'
import type { WayOut } from './held-limit.js'

/**
 * The way that a plan is on: straight where its channel leaves where that is wanted, angled where the least bend is within
 * the limit, else cemented.
 */
export function plannedWay(site: ExploredSite): WayOut {
  const meter = site.meter()
  const { insideMm } = meter.exit(site.plan.fixture)
  if (insideMm !== null && insideMm >= 0) return 'straight'
  const bendDeg = meter.correctionDeg(site.plan.fixture)
  return bendDeg !== null && bendDeg <= site.limits('correctionDeg').value ? 'angled' : 'cemented'
}
