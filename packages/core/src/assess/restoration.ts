import {
  type AccessChannel,
  type AngledChannel,
  accessChannel,
  accessExit,
  angledChannel,
  type Emergence,
  type ExitResult,
  emergence,
} from '../crown/index.js'
import { type FixtureProfile, radiusAtMm } from '../fixture/index.js'
import { type Plan, placedCrown } from '../plan/index.js'
import type { Mesh } from '../space/index.js'
import type { LimitValues } from './limits.js'

/** What is measured of the crown over its fixture. */
export interface Restoration {
  readonly exit: ExitResult
  readonly channel: AccessChannel
  readonly angled: AngledChannel
  readonly emergence: Emergence
}

/**
 * Exit, channel, bend and emergence of a plan's crown.
 * @throws RangeError when a mesh crown comes without its mesh or the pose is not rigid.
 */
export function restoration(
  plan: Plan,
  profile: FixtureProfile,
  limits: LimitValues,
  crownMesh: Mesh | undefined,
): Restoration {
  const { fixture, site } = plan
  const placed = placedCrown(plan, crownMesh)
  const of = (code: string): number => limits(code).value
  const question = {
    ...placed,
    fixture,
    site,
    limits: {
      edgeBandMm: of('edgeBandMm'),
      bendPivotMm: of('bendPivotMm'),
      wantedPalatalMm: of('wantedPalatalMm'),
      channelDiameterMm: of('channelDiameterMm'),
      leastWallMm: of('leastWallMm'),
      correctionDeg: of('correctionDeg'),
    },
  }
  return {
    exit: accessExit(question),
    channel: accessChannel(question),
    angled: angledChannel(question),
    emergence: emergence({
      ...placed,
      fixture: { ...fixture, radiusMm: radiusAtMm(profile, 0) },
      site,
    }),
  }
}
