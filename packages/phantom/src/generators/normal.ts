const twoOverRootPi = 2 / Math.sqrt(Math.PI)

/**
 * The error function to about 1e-15: the series with positive terms only (Abramowitz and Stegun 7.1.6) below 2.5,
 * the continued fraction of erfc (7.1.14) beyond.
 */
export function erf(x: number): number {
  const size = Math.abs(x)
  if (size > 6) return Math.sign(x)
  if (size > 2.5) return Math.sign(x) * (1 - erfcTail(size))
  let term = x
  let sum = x
  for (let n = 1; n < 60; n++) {
    term *= (2 * x * x) / (2 * n + 1)
    sum += term
    if (Math.abs(term) < 1e-17 * Math.abs(sum)) break
  }
  return twoOverRootPi * Math.exp(-x * x) * sum
}

/** erfc for x > 2.5, evaluated backwards from a depth that leaves nothing at double precision. */
function erfcTail(x: number): number {
  let fraction = x
  for (let n = 60; n > 0; n--) fraction = x + n / 2 / fraction
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * fraction)
}

/** The standard normal distribution function, absolute error about 1e-15. */
export const normalCdf = (x: number): number => 0.5 * (1 + erf(x * Math.SQRT1_2))

/** The standard normal density. */
export const normalPdf = (x: number): number => Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)
