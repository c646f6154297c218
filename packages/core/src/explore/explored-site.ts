import type { LimitValues } from '../assess/index.js'
import type { BoneModel, SiteSurface } from '../bone/index.js'
import type { FixtureShape } from '../fixture/index.js'
import type { PlacedCrown, Plan } from '../plan/index.js'
import type { PoseMeter } from './pose-meter.js'

/** A plan on a scan, made ready to be measured at thousands of poses. */
export interface ExploredSite {
  readonly plan: Plan
  readonly model: BoneModel
  /** The surface of bone round the site, found once. */
  readonly surface: SiteSurface
  readonly crown: PlacedCrown
  readonly limits: LimitValues
  /** A meter for the plan's own fixture, or for another shape. */
  meter(shape?: FixtureShape): PoseMeter
}
