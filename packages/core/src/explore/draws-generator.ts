/** 32 random bits at a time, as an unsigned integer. */
export type RandomBits = () => number

/**
 * The generator xoshiro128** 1.1 of Blackman and Vigna (2018, "Scrambled linear pseudorandom number generators", ACM TOMS
 * 47:36): four words of state, period 2^128 - 1, the same on every machine.
 * @throws RangeError when all words are 0: it would give nothing but noughts.
 */
export function xoshiro128(state: readonly [number, number, number, number]): RandomBits {
  let [a, b, c, d] = state.map((word) => word | 0)
  if ((a | b | c | d) === 0) throw new RangeError('random bits: the state must not be all noughts')
  return () => {
    const result = Math.imul(rotated(Math.imul(b, 5), 7), 9)
    const shifted = b << 9
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= shifted
    d = rotated(d, 11)
    return result >>> 0
  }
}

const rotated = (word: number, by: number): number => (word << by) | (word >>> (32 - by))

/** xoshiro128 from one number: its state is a golden-ratio sequence from the seed, each word mixed as in MurmurHash3. */
export function seededBits(seed: number): RandomBits {
  if (!Number.isInteger(seed) || seed < 0 || seed > 0xffffffff)
    throw new RangeError(`seed must be a whole number from 0 to ${0xffffffff}, got ${seed}`)
  const word = (n: number): number => {
    let mixed = (seed + Math.imul(n, 0x9e3779b9)) | 0
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b)
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35)
    return mixed ^ (mixed >>> 16)
  }
  return xoshiro128([word(1), word(2), word(3), word(4)])
}
