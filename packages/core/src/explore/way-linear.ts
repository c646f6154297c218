/** Own choice: pivots and gains no greater are noise of the arithmetic. */
const TINY = 1e-10
/** After so many steps the first column that gains is taken, not the best: that cannot go round in circles (Bland 1977). */
const STEPS_TO_BLAND = 60
const MOST_STEPS = 400

/**
 * The greatest c y with A y <= b and y >= 0, for a few unknowns and many rows; b >= 0, so that y = 0 is allowed. Dantzig's
 * simplex method on the condensed tableau (Dantzig 1963, Linear Programming and Extensions).
 * @param rows of A.
 * @returns y; where it is unbounded, as far as the last bounded step came.
 * @throws RangeError when a bound is negative.
 */
export function linearGreatest(
  cost: readonly number[],
  rows: readonly (readonly number[])[],
  bounds: readonly number[],
): number[] {
  const n = cost.length
  const m = rows.length
  const width = n + 1
  // The last row holds minus the gains, the last column the bounds.
  const table = new Float64Array((m + 1) * width)
  for (let row = 0; row < m; row++) {
    if (!(bounds[row] >= 0)) throw new RangeError(`linear program: bound ${row} is ${bounds[row]}, below 0`)
    table.set(rows[row], row * width)
    table[row * width + n] = bounds[row]
  }
  for (let column = 0; column < n; column++) table[m * width + column] = -cost[column]
  const basic = Int32Array.from({ length: m }, (_, row) => n + row)
  const free = Int32Array.from({ length: n }, (_, column) => column)

  for (let step = 0; step < MOST_STEPS; step++) {
    const column = entering(step)
    if (column < 0) break
    const row = leaving(column)
    if (row < 0) break
    pivot(row, column)
  }
  const y = new Array<number>(n).fill(0)
  for (let row = 0; row < m; row++) if (basic[row] < n) y[basic[row]] = table[row * width + n]
  return y

  function entering(step: number): number {
    let best = -1
    let gain = -TINY
    for (let column = 0; column < n; column++) {
      const at = table[m * width + column]
      if (step < STEPS_TO_BLAND) {
        if (at >= gain) continue
        gain = at
        best = column
      } else if (at < -TINY && (best < 0 || free[column] < free[best])) best = column
    }
    return best
  }

  function leaving(column: number): number {
    let best = -1
    let ratio = Number.POSITIVE_INFINITY
    for (let row = 0; row < m; row++) {
      const at = table[row * width + column]
      if (at <= TINY) continue
      const here = table[row * width + n] / at
      if (here < ratio || (here === ratio && best >= 0 && basic[row] < basic[best])) {
        ratio = here
        best = row
      }
    }
    return best
  }

  function pivot(row: number, column: number): void {
    const base = row * width
    const inverse = 1 / table[base + column]
    for (let c = 0; c <= n; c++) if (c !== column) table[base + c] *= inverse
    for (let r = 0; r <= m; r++) {
      if (r === row) continue
      const factor = table[r * width + column]
      if (factor === 0) continue
      for (let c = 0; c <= n; c++) if (c !== column) table[r * width + c] -= factor * table[base + c]
      table[r * width + column] = -factor * inverse
    }
    table[base + column] = inverse
    const left = basic[row]
    basic[row] = free[column]
    free[column] = left
    // Rounding must not make a bound negative: it was allowed before.
    for (let r = 0; r < m; r++) if (table[r * width + n] < 0) table[r * width + n] = 0
  }
}
