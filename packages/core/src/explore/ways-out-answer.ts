import { CAUTIONS } from '../assess/index.js'
import { FAST_HALF_WIDTH_MM, scanHalfWidthMm, shownHalfWidthMm } from '../bone/shown-interval.js'
import type { FixtureShape } from '../fixture/index.js'
import type { ExploredSite } from './explored-site.js'
import { WAYS_OUT } from './held-limit.js'
import { measuresAt } from './way-found.js'
import type { WayFound, WaysOut } from './ways-out-result.js'

/** Where nothing is known of what lies beside the ridge, nothing keeps a fixture away from it. */
const NEIGHBOURS =
  'Neighbouring roots, fixtures, the nerve canal and the sinus are not known here: a placement found may run into them.'

/** Makes answers about a site of what was found of its ways. */
export function waysAnswer(
  site: ExploredSite,
  shapes: readonly FixtureShape[],
  inHandMm: number,
): (ways: readonly WayFound[], measured: number, complete: boolean) => WaysOut {
  const {
    fixture,
    site: { tooth },
  } = site.plan
  const pose = { platform: fixture.platform, apical: fixture.apical }
  const measures = measuresAt(site.meter(), pose)
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
