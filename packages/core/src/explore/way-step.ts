import { linearGreatest } from './way-linear.js'
import type { Place } from './way-space.js'
import { KEPT_IN_HAND_MM, type Standing } from './way-standing.js'

/** How the values of a standing change about a place: by value and coordinate. */
export interface Slope {
  readonly at: Place
  readonly standing: Standing
  readonly pieces: readonly (readonly number[])[]
  readonly kept: readonly (readonly number[])[]
}

/** A value as one slope has it, seen from the lower corner of the reach. */
interface Cut {
  readonly atCorner: number
  readonly slope: readonly number[]
}

/**
 * The place within reach (each coordinate by itself) where slopes promise the best merit, and that merit. Every value is
 * taken to be the least that any of the slopes makes of it; none may deny what was measured at the centre.
 */
export function greatestStep(
  box: { readonly low: Place; readonly high: Place },
  centre: { readonly place: Place; readonly standing: Standing },
  slopes: readonly Slope[],
  reach: number,
  violationCost: number,
): { readonly place: Place; readonly merit: number } {
  const { place, standing } = centre
  const corner = place.map((at, n) => Math.max(-reach, box.low[n] - at))
  const widths = place.map((at, n) => Math.min(reach, box.high[n] - at) - corner[n])
  const cutsOf = (kind: 'pieces' | 'kept'): Cut[] =>
    slopes.flatMap((from) =>
      from[kind].map((slope, which) => {
        const away = place.map((at, n) => at - from.at[n])
        const here = Math.max(standing[kind][which], from.standing[kind][which] + product(slope, away))
        return { atCorner: here + product(slope, corner), slope }
      }),
    )
  const pieces = cutsOf('pieces')
  const kept = cutsOf('kept')
  // As low and as bad as slopes allow anywhere within reach, so that the unknowns, never negative, can be either.
  const leastOf = ({ atCorner, slope }: Cut): number =>
    slope.reduce((sum, v, n) => sum + Math.min(0, v * widths[n]), atCorner)
  const lowest = Math.min(...pieces.map(leastOf))
  const worst = Math.max(0, ...kept.map((cut) => KEPT_IN_HAND_MM - leastOf(cut)))

  // Unknowns: the step from the corner, the goal above the lowest, the violation below the worst.
  const rows = [
    ...pieces.map(({ slope }) => [...slope.map((v) => -v), 1, 0]),
    ...kept.map(({ slope }) => [...slope.map((v) => -v), 0, 1]),
    ...widths.map((_, n) => unit(n, widths.length + 2)),
    unit(widths.length + 1, widths.length + 2),
  ]
  const bounds = [
    ...pieces.map(({ atCorner }) => atCorner - lowest),
    ...kept.map(({ atCorner }) => Math.max(0, worst + atCorner - KEPT_IN_HAND_MM)),
    ...widths,
    worst,
  ]
  const cost = [...widths.map(() => 0), 1, violationCost]
  const found = linearGreatest(cost, rows, bounds)
  const step = widths.map((width, n) => corner[n] + Math.min(width, found[n]))
  return {
    place: place.map((at, n) => Math.min(box.high[n], Math.max(box.low[n], at + step[n]))),
    merit: lowest + found[widths.length] - violationCost * (worst - found[widths.length + 1]),
  }
}

const product = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, v, n) => sum + v * b[n], 0)

const unit = (n: number, size: number): number[] =>
  Array.from({ length: size }, (_, at) => (at === n ? 1 : 0))
