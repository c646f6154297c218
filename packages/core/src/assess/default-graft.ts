import type { DeficitGraft } from '../graft/index.js'
import { type LimitValues, resolveLimits } from './limits.js'

/**
 * The bone that is missing to the margins wanted at a tooth, from the platform on, built thicker by what usually resorbs:
 * 12.48 % of the volume until a fixture was placed (Gultekin 2016, BioMed Res Int).
 * @param overrides of limits by their code, as in a plan.
 * @throws RangeError as resolveLimits.
 */
export const defaultDeficitGraft = (
  tooth: string,
  overrides: Readonly<Record<string, number>> = {},
): DeficitGraft => ({
  ...missingBone(resolveLimits(tooth, overrides)),
  natural: true,
  loss: { kind: 'share', share: 0.125 },
  overbuilt: true,
})

/** Nothing but what is missing: no contour, no loss. */
export const missingBone = (limits: LimitValues): DeficitGraft => ({
  kind: 'deficit',
  facialMm: limits('facialMarginTargetMm').value,
  otherMm: limits('marginMm').value,
  fromDepthMm: 0,
  natural: false,
  loss: { kind: 'share', share: 0 },
  overbuilt: false,
})
