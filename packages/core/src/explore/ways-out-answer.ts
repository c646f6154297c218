import { CAUTIONS } from '../assess/index.js'
import { FAST_HALF_WIDTH_MM, scanHalfWidthMm, shownHalfWidthMm } from '../bone/shown-interval.js'
import type { ExploredSite } from './explored-site.js'
import { WAYS_OUT } from './held-limit.js'
import type { PoseMeter } from './pose-meter.js'
import { measuresAt } from './way-found.js'
import type { WayFound, WaysOut } from './ways-out-result.js'

/** Where nothing is known of what lies beside the ridge, nothing keeps a fixture away from it. */
const NEIGHBOURS =
  'Neighbouring roots, fixtures, the nerve canal and the sinus are not known here: a placement found may run into them.'

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
  // That of the fast march: the surface is found by the same crossing of blurred grey.
  const uncertaintyMm = shownHalfWidthMm(site.model, scanHalfWidthMm(site.model, FAST_HALF_WIDTH_MM))
  const cautions = measures.clearanceMm === null ? [NEIGHBOURS, ...CAUTIONS] : CAUTIONS
  return (ways, measured, complete) => ({
    ...{ schema: 'alveometer-ways-out', version: 1, tooth },
    ways: WAYS_OUT.flatMap((way) => ways.filter((found) => found.way === way)),
    ...{ present, shapes, inHandMm, uncertaintyMm, measured, complete, cautions },
  })
}
