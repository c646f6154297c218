import type { ChartField } from '@alveometer/core'

/** Weights of the neighbours 0, 1, 2 ... cells away, to both sides. */
type Weights = readonly number[]

/** Rounds steps of a cell off and leaves straight edges where they are (binomial, of the fourth order). */
export const roundingOff: Weights = [6, 4, 1]

/** A field smoothed along its rows and its columns; cells without a number keep none and count for nothing. */
export function smoothed(field: ChartField, columns: number, weights: Weights): ChartField {
  const rows = field.length / columns
  const pass = (from: ChartField, stride: number, place: (n: number) => number, count: number): ChartField =>
    from.map((own, n) => {
      if (own === null) return null
      let [sum, weight] = [0, 0]
      for (let step = 1 - weights.length; step < weights.length; step++) {
        const at = place(n) + step
        const value = at < 0 || at >= count ? null : (from[n + step * stride] ?? null)
        const share = weights[Math.abs(step)] ?? 0
        if (value === null) continue
        sum += share * value
        weight += share
      }
      return sum / weight
    })
  const along = pass(field, 1, (n) => n % columns, columns)
  return pass(along, columns, (n) => Math.floor(n / columns), rows)
}
