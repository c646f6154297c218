import type { ExploredSite } from './explored-site.js'
import { explorerCautions } from './explorer-cautions.js'
import { WAYS_OUT } from './held-limit.js'
import type { PoseMeter } from './pose-meter.js'
import { surfaceUncertaintyMm } from './surface-uncertainty.js'
import { measuresAt } from './way-found.js'
import type { WayFound, WaysOut } from './ways-out-result.js'

/** Makes answers about a site of what was found of its ways. */
export function waysAnswer(
  site: ExploredSite,
  meters: readonly PoseMeter[],
  inHandMm: number,
): (ways: readonly WayFound[], measured: number, complete: boolean) => WaysOut {
  const {
    fixture,
    site: { tooth },
  } = site.plan
  const pose = { platform: fixture.platform, apical: fixture.apical }
  const meter = meters.find(({ shape }) => shape === fixture.shape) ?? site.meter()
  const measures = measuresAt(meter, pose)
  const shapes = meters.map(({ shape }) => shape)
  const present = { pose, shape: fixture.shape, measures }
  const uncertaintyMm = surfaceUncertaintyMm(site.model)
  const cautions = explorerCautions(measures.clearanceMm)
  return (ways, measured, complete) => ({
    ...{ schema: 'alveometer-ways-out', version: 1, tooth },
    ways: WAYS_OUT.flatMap((way) => ways.filter((found) => found.way === way)),
    ...{ present, shapes, inHandMm, uncertaintyMm, measured, complete, cautions },
  })
}
