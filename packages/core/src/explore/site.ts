import { resolveLimits, sectorsOf } from '../assess/index.js'
import type { BoneModel } from '../bone/index.js'
import { clearance } from '../clearance/index.js'
import { accessProbe } from '../crown/index.js'
import type { FixtureShape } from '../fixture/index.js'
import { type PlacedCrown, type Plan, placedCrown } from '../plan/index.js'
import type { Mesh } from '../space/index.js'
import type { ExploredSite } from './explored-site.js'
import type { PoseMeter } from './pose-meter.js'
import { realPoseMeter } from './real-pose-meter.js'
import { siteRegion } from './site-region.js'
import { surfaceOf } from './site-surfaces.js'

export interface SiteOptions {
  /** The mesh of a plan's `mesh` crown, as in AssessOptions. */
  readonly crownMesh?: Mesh
  /** Length of the longest fixture that is to be measured, mm; the plan's when absent. */
  readonly longestMm?: number
}

/**
 * A plan on a scan, made ready to be measured at thousands of poses: the surface of bone all round the site is found once
 * and kept with the model. About a second the first time; nearly nothing while the crown stays where it is.
 * @throws RangeError as assess.
 */
export function exploredSite(model: BoneModel, plan: Plan, options: SiteOptions = {}): ExploredSite {
  const run = exploredSiteSteps(model, plan, options)
  let step = run.next()
  while (!step.done) step = run.next()
  return step.value
}

/** The same in steps of some 10 ms; each says what share is done. */
export function* exploredSiteSteps(
  model: BoneModel,
  plan: Plan,
  { crownMesh, longestMm }: SiteOptions = {},
): Generator<number, ExploredSite> {
  const { site } = plan
  const limits = resolveLimits(site.tooth, plan.limits)
  const crown: PlacedCrown = placedCrown(plan, crownMesh)
  const of = (code: string): number => limits(code).value
  const access = accessProbe({
    ...crown,
    site,
    limits: {
      edgeBandMm: of('edgeBandMm'),
      bendPivotMm: of('bendPivotMm'),
      wantedPalatalMm: of('wantedPalatalMm'),
      channelDiameterMm: of('channelDiameterMm'),
      leastWallMm: of('leastWallMm'),
      correctionDeg: of('correctionDeg'),
    },
  })
  yield 0
  const surface = yield* surfaceOf(model, siteRegion(plan, crown, longestMm))
  const metered = {
    ...{ surface, facial: site.facial, sectors: sectorsOf(site.tooth), limits, access },
    clearance: clearance(model.masks),
  }
  return {
    ...{ plan, model, surface, crown, limits },
    meter: (shape: FixtureShape = plan.fixture.shape): PoseMeter => realPoseMeter(metered, shape),
  }
}
