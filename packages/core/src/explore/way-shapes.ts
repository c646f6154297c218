import { type FixtureShape, fixtureProfile } from '../fixture/index.js'
import { DEG_A_MM } from './way-space.js'
import { isMargin, MM3_A_MM, reserveMm } from './way-values.js'
import type { WayFound } from './ways-out-result.js'

/** What differs by less comes to the same, mm. Own choice: half a digit of what is printed. */
const SAME_MM = 0.005

/**
 * The better of two placements of one way by shapes of their own: what exists, then the better objective (where neither
 * exists the lesser violation), then the wider, then the longer.
 */
export function betterOf(a: WayFound | undefined, b: WayFound): WayFound {
  if (a === undefined) return b
  if (a.exists !== b.exists) return a.exists ? a : b
  const [worthA, worthB] = a.exists ? [worthOf(a), worthOf(b)] : [leastReserve(a), leastReserve(b)]
  if (Math.abs(worthA - worthB) >= SAME_MM) return worthA > worthB ? a : b
  const [sizeA, sizeB] = [sizeOf(a.shape), sizeOf(b.shape)]
  const wider = sizeB.radiusMm - sizeA.radiusMm
  return wider > 0 || (wider === 0 && sizeB.lengthMm > sizeA.lengthMm) ? b : a
}

function worthOf({ objective: { name, value } }: WayFound): number {
  if (name === 'reserve') return value
  return name === 'graft' ? -value / MM3_A_MM : -value / DEG_A_MM
}

/** Of bone first where only bone is missed: the other limits are kept then. */
const leastReserve = ({ held }: WayFound): number => {
  const others = Math.min(...held.filter((limit) => !isMargin(limit)).map(reserveMm))
  return others < 0 ? others - MISSES_MORE_MM : Math.min(...held.map(reserveMm))
}
/** A placement that cannot even keep the limits of channel and platform comes after any that lacks bone alone, mm. */
const MISSES_MORE_MM = 100

function sizeOf(shape: FixtureShape): { readonly radiusMm: number; readonly lengthMm: number } {
  const { greatestRadiusMm, lengthMm } = fixtureProfile(shape)
  return { radiusMm: greatestRadiusMm, lengthMm }
}
