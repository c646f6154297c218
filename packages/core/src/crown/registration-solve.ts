/** Equations gathered one by one, and their weighted least-squares solution. */
export interface LeastSquares {
  readonly add: (row: readonly number[], value: number, weight: number) => void
  /** `damping` is added on the diagonal: what the equations leave open stays near nothing. */
  readonly solve: (damping: number) => number[]
}

/** Normal equations of few unknowns, solved by Cholesky's factors. */
export function leastSquares(unknowns: number): LeastSquares {
  const n = unknowns
  const a = new Float64Array(n * n)
  const b = new Float64Array(n)
  return {
    add: (row, value, weight) => {
      for (let i = 0; i < n; i++) {
        const w = weight * row[i]
        if (w === 0) continue
        b[i] += w * value
        for (let j = 0; j <= i; j++) a[i * n + j] += w * row[j]
      }
    },
    solve: (damping) => {
      const l = Float64Array.from(a)
      for (let i = 0; i < n; i++) {
        l[i * n + i] += damping
        for (let j = 0; j <= i; j++) {
          let sum = l[i * n + j]
          for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k]
          // A row without information, damping included, gives nothing.
          if (i === j) l[i * n + i] = Math.sqrt(Math.max(sum, 1e-300))
          else l[i * n + j] = sum / l[j * n + j]
        }
      }
      const x = Array.from(b)
      for (let i = 0; i < n; i++) {
        for (let k = 0; k < i; k++) x[i] -= l[i * n + k] * x[k]
        x[i] /= l[i * n + i]
      }
      for (let i = n - 1; i >= 0; i--) {
        for (let k = i + 1; k < n; k++) x[i] -= l[k * n + i] * x[k]
        x[i] /= l[i * n + i]
      }
      return x
    },
  }
}
