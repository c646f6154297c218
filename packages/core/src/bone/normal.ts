/**
 * The standard normal distribution function, absolute error below 1e-15.
 * G. Marsaglia, Evaluating the Normal Distribution, J Stat Softw 2004;11(4).
 */
export function normalCdf(x: number): number {
  if (x > 8) return 1
  if (x < -8) return 0
  const square = x * x
  let term = x
  let sum = x
  let before = 0
  for (let n = 3; sum !== before; n += 2) {
    before = sum
    term *= square / n
    sum += term
  }
  return 0.5 + sum * Math.exp(-0.5 * square - LOG_ROOT_TWO_PI)
}

/** The standard normal density. */
export const normalDensity = (x: number): number => Math.exp(-0.5 * x * x - LOG_ROOT_TWO_PI)

const LOG_ROOT_TWO_PI = 0.9189385332046728
