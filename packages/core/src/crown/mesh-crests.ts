import type { HeightProfile } from './height-profile.js'

/** A crest is passed where the surface beyond it has fallen by this, mm: about three times a scan's noise. */
const FALL_MM = 0.1

/** The two cusp crests of a section, as columns. `single` where there is no hollow between them. */
export interface SectionCrests {
  readonly facial: number
  readonly oral: number
  readonly single: boolean
  /** Column of the highest point. */
  readonly summit: number
}

/**
 * In each section the first summit from the facial and the first from the oral side, each in its own half. Where one
 * is missing, as between cusps or on worn ones, the crest runs on from the sections beside; jumps of single sections
 * are evened out.
 */
export function cuspCrests(profiles: readonly HeightProfile[]): SectionCrests[] {
  const spans = profiles.map(({ z }) => spanOf(z))
  const middle = spans.map(([low, high]) => (low + high) / 2)
  const half = (found: number | null, n: number, sign: 1 | -1): number | null =>
    found !== null && sign * (found - middle[n]) > 0 ? found : null
  const facial = profiles.map(({ z }, n) => half(firstSummit(z, z.length - 1, -1), n, 1))
  const oral = profiles.map(({ z }, n) => half(firstSummit(z, 0, 1), n, -1))
  const share = (found: readonly (number | null)[]): (number | null)[] =>
    found.map((c, n) => (c === null ? null : (c - spans[n][0]) / Math.max(1, spans[n][1] - spans[n][0])))
  const facialShare = evened(filled(share(facial), 0.8))
  const oralShare = evened(filled(share(oral), 0.2))
  const column = (shares: readonly number[], n: number): number =>
    nearestSurface(profiles[n].z, spans[n][0] + shares[n] * (spans[n][1] - spans[n][0]))
  return profiles.map(({ z }, n) => ({
    facial: column(facialShare, n),
    oral: column(oralShare, n),
    single: facial[n] === null || oral[n] === null,
    summit: z.reduce((best, v, c) => (v < z[best] || Number.isNaN(z[best]) ? c : best), 0),
  }))
}

/** From one side inward: the highest place before the surface falls again; null where it never does. */
export function firstSummit(z: ArrayLike<number>, from: number, way: 1 | -1): number | null {
  let best: number | null = null
  for (let c = from; c >= 0 && c < z.length; c += way) {
    if (Number.isNaN(z[c])) continue
    if (best === null || z[c] < z[best]) best = c
    else if (z[c] > z[best] + FALL_MM) return best
  }
  return null
}

/** First and last column with surface. */
function spanOf(z: Float64Array): [number, number] {
  let first = z.length
  let last = 0
  for (let c = 0; c < z.length; c++) {
    if (Number.isNaN(z[c])) continue
    first = Math.min(first, c)
    last = c
  }
  return [Math.min(first, last), last]
}

/** Gaps closed straight from neighbour to neighbour, ends carried on. */
function filled(found: readonly (number | null)[], otherwise: number): number[] {
  const known = found.flatMap((c, n) => (c === null ? [] : [{ n, c }]))
  return found.map((c, n) => {
    if (c !== null) return c
    const before = known.filter((k) => k.n < n).at(-1)
    const after = known.find((k) => k.n > n)
    if (before && after) return before.c + ((n - before.n) / (after.n - before.n)) * (after.c - before.c)
    return (before ?? after)?.c ?? otherwise
  })
}

/** The median of five, then the mean of three. */
function evened(values: readonly number[]): number[] {
  const around = (list: readonly number[], n: number, reach: number) =>
    list.slice(Math.max(0, n - reach), n + reach + 1)
  const medians = values.map((_, n) => {
    const sorted = around(values, n, 2).sort((a, b) => a - b)
    return sorted[Math.floor(sorted.length / 2)]
  })
  return medians.map((_, n) => {
    const near = around(medians, n, 1)
    return near.reduce((sum, v) => sum + v / near.length, 0)
  })
}

/** The nearest column that has surface. */
function nearestSurface(z: Float64Array, wanted: number): number {
  let best = 0
  let least = Number.POSITIVE_INFINITY
  for (let c = 0; c < z.length; c++) {
    const off = Math.abs(c - wanted)
    if (!Number.isNaN(z[c]) && off < least) {
      least = off
      best = c
    }
  }
  return best
}
