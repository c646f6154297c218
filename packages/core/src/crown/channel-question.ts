import type { ExitQuestion } from './access-exit.js'
import { EXIT_LIMITS } from './access-exit.js'
import type { ChannelLimits } from './channel-result.js'

/**
 * Channel of 2.3 mm: kept more strength of posterior zirconia crowns than 3.5 mm (Open Dent J 2023
 * 17:e18742106265390). Wall of 0.8 mm: what laboratories keep of zirconia, no agreed published figure (from memory).
 * Bend of 25 degrees: common practice.
 */
export const CHANNEL_LIMITS: ChannelLimits = {
  ...EXIT_LIMITS,
  channelDiameterMm: 2.3,
  leastWallMm: 0.8,
  correctionDeg: 25,
}

/** As for `accessExit`, with the limits of a channel. */
export type ChannelQuestion = Omit<ExitQuestion, 'limits'> & { readonly limits?: Partial<ChannelLimits> }

/**
 * The limits of a question, with the defaults where it has none.
 * @throws RangeError when the channel's diameter is not a length above 0.
 */
export function channelLimits({ limits }: Pick<ChannelQuestion, 'limits'>): ChannelLimits {
  const all = { ...CHANNEL_LIMITS, ...limits }
  if (!(all.channelDiameterMm > 0 && all.channelDiameterMm < 100))
    throw new RangeError(`an access channel cannot be ${all.channelDiameterMm} mm wide: give 2.0 to 3.5 mm`)
  return all
}
