import type { ProbeField } from './surface-probe-field.js'

/**
 * Where a ray passes through the edge of bone between a place in it and one outside, mm from the ray's start: false
 * position that halves the weight of an end that stays (the Illinois method; Dowell and Jarratt 1971, BIT 11:168).
 * @param i, j, k the start, in units of the grid; `di`, `dj`, `dk` the way of a millimetre.
 * @param atIn, atOut the field at the two places, mm.
 */
export function fieldCrossing(
  field: ProbeField,
  i: number,
  j: number,
  k: number,
  di: number,
  dj: number,
  dk: number,
  inMm: number,
  atIn: number,
  outMm: number,
  atOut: number,
): number {
  let stayed = 0
  while (Math.abs(outMm - inMm) > END_MM) {
    const mm = outMm - (atOut * (outMm - inMm)) / (atOut - atIn)
    const v = field.at(i + mm * di, j + mm * dj, k + mm * dk)
    if (Math.abs(v) < END_MM) return mm
    if (v > 0) {
      inMm = mm
      atIn = v
      if (stayed === 1) atOut /= 2
      stayed = 1
    } else {
      outMm = mm
      atOut = v
      if (stayed === -1) atIn /= 2
      stayed = -1
    }
  }
  return outMm
}

/** Ends are found to so much, mm. */
const END_MM = 1e-8

/** A ray never advances by less, mm: nothing thinner is seen. */
export const LEAST_STEP_MM = 0.02
