/** The middle of the numbers (mean of the two middle ones for an even count); NaN for none. Sorts a copy. */
export function median(values: ArrayLike<number>): number {
  if (values.length === 0) return Number.NaN
  const sorted = new Float64Array(values).sort()
  const half = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2
}

/** 1.4826 x median absolute deviation: the SD of a normal sample, deaf to outliers. */
export function robustSd(values: ArrayLike<number>): number {
  const middle = median(values)
  return 1.4826 * median(new Float64Array(values).map((v) => Math.abs(v - middle)))
}

/** The half-sample mode (Bickel and Fruehwirth 2006): where the numbers lie densest; NaN for none. */
export function halfSampleMode(values: ArrayLike<number>): number {
  let sorted = new Float64Array(values).sort()
  while (sorted.length > 3) {
    const half = Math.ceil(sorted.length / 2)
    let best = 0
    let narrowest = Number.POSITIVE_INFINITY
    for (let n = 0; n + half <= sorted.length; n++) {
      const width = sorted[n + half - 1] - sorted[n]
      if (width < narrowest) {
        narrowest = width
        best = n
      }
    }
    sorted = sorted.slice(best, best + half)
  }
  return sorted.length === 0 ? Number.NaN : sorted.reduce((a, b) => a + b, 0) / sorted.length
}

/** Grey counted in equal bins. */
export interface Histogram {
  readonly low: number
  readonly binWidth: number
  readonly counts: Float64Array
}

/** A histogram of the finite numbers between the given limits. */
export function histogram(values: ArrayLike<number>, low: number, high: number, bins: number): Histogram {
  const counts = new Float64Array(bins)
  const binWidth = (high - low) / bins || 1
  for (let n = 0; n < values.length; n++) {
    const v = values[n]
    if (!(v >= low && v <= high)) continue
    const bin = Math.min(bins - 1, Math.floor((v - low) / binWidth))
    counts[bin] = counts[bin] + 1
  }
  return { low, binWidth, counts }
}

/** The threshold that parts a histogram best in two (Otsu 1979), between the bins given. */
export function otsuThreshold({ low, binWidth, counts }: Histogram, fromBin = 0): number {
  let total = 0
  let moment = 0
  for (let n = fromBin; n < counts.length; n++) {
    total += counts[n]
    moment += n * counts[n]
  }
  let below = 0
  let belowMoment = 0
  let best = -1
  let at = fromBin
  for (let n = fromBin; n < counts.length - 1; n++) {
    below += counts[n]
    belowMoment += n * counts[n]
    const above = total - below
    if (below === 0 || above === 0) continue
    const apart = belowMoment / below - (moment - belowMoment) / above
    const variance = below * above * apart * apart
    if (variance > best) {
      best = variance
      at = n
    }
  }
  return low + (at + 1) * binWidth
}
