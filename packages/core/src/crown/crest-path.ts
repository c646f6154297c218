/** Costs of a column in one row; Infinity where a line must not run. */
export type RowCosts = Float64Array

/**
 * The line through all rows, one column each, whose costs and bends come out least: `bend` is what a step of one
 * column between two rows costs, with the square of the step. Dynamic programming. Null where no line is possible.
 */
export function leastPath(rows: readonly RowCosts[], bend: number): number[] | null {
  if (rows.length === 0) return null
  const columns = rows[0].length
  const cameFrom: Int32Array[] = []
  let costs = Float64Array.from(rows[0])
  for (let r = 1; r < rows.length; r++) {
    const from = new Int32Array(columns).fill(-1)
    const next = new Float64Array(columns).fill(Number.POSITIVE_INFINITY)
    for (let c = 0; c < columns; c++) {
      if (rows[r][c] === Number.POSITIVE_INFINITY) continue
      for (let b = 0; b < columns; b++) {
        const cost = costs[b] + bend * (c - b) ** 2
        if (cost < next[c]) {
          next[c] = cost
          from[c] = b
        }
      }
      next[c] += rows[r][c]
    }
    cameFrom.push(from)
    costs = next
  }
  let at = costs.reduce((best, cost, c) => (cost < costs[best] ? c : best), 0)
  if (!(costs[at] < Number.POSITIVE_INFINITY)) return null
  const path = [at]
  for (let r = cameFrom.length - 1; r >= 0; r--) {
    at = cameFrom[r][at]
    path.unshift(at)
  }
  return path
}
