import { type RandomBits, seededBits } from './draws-generator.js'
import { normalQuantile } from './draws-normal.js'

/**
 * Standard normals, independent, each from one uniform number through the quantile. The same seed always gives the same
 * ones, and fewer of them are the first of more: in every engine, but for the last digits of its logarithm.
 * @throws RangeError for a seed that is no whole number from 0 to 2^32 - 1.
 */
export function standardNormals(seed: number, count: number): Float64Array {
  const bits = seededBits(seed)
  const normals = new Float64Array(count)
  for (let n = 0; n < count; n++) normals[n] = normalQuantile(uniform(bits))
  return normals
}

/** 53 random bits and a half: above 0 and below 1. */
const uniform = (bits: RandomBits): number =>
  ((bits() >>> 5) * 67108864 + (bits() >>> 6) + 0.5) / 9007199254740992
