import type { MissedLimit, Percentiles } from './miss-cloud-result.js'

/** Bins of a histogram. Own choice. */
const BINS = 24
/** A histogram reaches from here to as far from the other end, percent: a few stray draws would flatten it. Own choice. */
const OUTERMOST = 0.5
/** Width of a bin when all values are the same, mm or degrees. */
const LEAST_WIDTH = 1e-3
/** 97.5th percentile of the standard normal. */
const Z95 = 1.959963984540054

/** The values that are numbers, in rising order. */
export function sorted(values: Float64Array): Float64Array {
  // Those that are none come last.
  const rising = values.slice().sort()
  let count = rising.length
  while (count > 0 && Number.isNaN(rising[count - 1])) count--
  return rising.subarray(0, count)
}

/** The percentile of values in rising order, on a straight line between neighbours (Hyndman and Fan 1996, type 7). */
export function percentile(rising: Float64Array, percent: number): number {
  const place = (percent / 100) * (rising.length - 1)
  const below = Math.floor(place)
  const above = Math.min(below + 1, rising.length - 1)
  return rising[below] + (place - below) * (rising[above] - rising[below])
}

export const percentilesOf = (rising: Float64Array): Percentiles => ({
  p5: percentile(rising, 5),
  p25: percentile(rising, 25),
  p50: percentile(rising, 50),
  p75: percentile(rising, 75),
  p95: percentile(rising, 95),
})

/** Of values in rising order; those beyond either end are counted in the bin at that end. */
export function histogramOf(rising: Float64Array): NonNullable<MissedLimit['histogram']> {
  const from = percentile(rising, OUTERMOST)
  const spread = percentile(rising, 100 - OUTERMOST) - from
  const width = Math.max(spread / BINS, LEAST_WIDTH)
  const start = spread / BINS < LEAST_WIDTH ? from - (BINS * LEAST_WIDTH - spread) / 2 : from
  const counts = new Array<number>(BINS).fill(0)
  for (const value of rising) counts[Math.min(BINS - 1, Math.max(0, Math.floor((value - start) / width)))]++
  return { from: start, width, counts }
}

/** Half width of the 95 % interval of a share that was counted among so many (Wilson 1927, JASA 22:209). */
export function countedHalfWidth(share: number, among: number): number {
  const z2 = Z95 * Z95
  return (Z95 / (1 + z2 / among)) * Math.sqrt((share * (1 - share)) / among + z2 / (4 * among * among))
}

/** Standard deviation of the values that are numbers; 0 without two of them. */
export function deviationOf(values: Float64Array): number {
  let [count, mean, squares] = [0, 0, 0]
  for (const value of values) {
    if (Number.isNaN(value)) continue
    count++
    const step = value - mean
    mean += step / count
    squares += step * (value - mean)
  }
  return count < 2 ? 0 : Math.sqrt(squares / (count - 1))
}
