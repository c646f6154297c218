/**
 * MurmurHash3_x86_128 (Austin Appleby, public domain), fed in pieces of 32-bit words. Chosen because every step is a
 * 32-bit multiplication, which JavaScript does as fast as C, and the same in Node and in every browser. Not cryptographic.
 */
export interface Murmur {
  /**
   * Takes little-endian words: whole blocks of four, but for the last piece, whose last word may be filled up with zeros.
   * @param bytes of the piece, without that filling; those of all words when absent.
   */
  readonly feed: (words: Int32Array, bytes?: number) => void
  readonly digest: () => [number, number, number, number]
}

const C1 = 0x239b961b
const C2 = 0xab0e9789
const C3 = 0x38b34ae5
const C4 = 0xa1e38b93

const turn = (x: number, bits: number): number => (x << bits) | (x >>> (32 - bits))
const mix = (k: number, before: number, bits: number, after: number): number =>
  Math.imul(turn(Math.imul(k, before), bits), after)

export function murmur(seed: number): Murmur {
  let [h1, h2, h3, h4] = [seed, seed, seed, seed]
  let total = 0
  const feed = (words: Int32Array, bytes = words.byteLength): void => {
    total += bytes
    const whole = 4 * Math.floor(bytes / 16)
    let [a, b, c, d] = [h1, h2, h3, h4]
    for (let n = 0; n < whole; n += 4) {
      a ^= mix(words[n], C1, 15, C2)
      a = (Math.imul(turn(a, 19) + b, 5) + 0x561ccd1b) | 0
      b ^= mix(words[n + 1], C2, 16, C3)
      b = (Math.imul(turn(b, 17) + c, 5) + 0x0bcaa747) | 0
      c ^= mix(words[n + 2], C3, 17, C4)
      c = (Math.imul(turn(c, 15) + d, 5) + 0x96cd1c35) | 0
      d ^= mix(words[n + 3], C4, 18, C1)
      d = (Math.imul(turn(d, 13) + a, 5) + 0x32ac3b17) | 0
    }
    const rest = words.length - whole
    if (rest > 0) a ^= mix(words[whole], C1, 15, C2)
    if (rest > 1) b ^= mix(words[whole + 1], C2, 16, C3)
    if (rest > 2) c ^= mix(words[whole + 2], C3, 17, C4)
    if (rest > 3) d ^= mix(words[whole + 3], C4, 18, C1)
    h1 = a
    h2 = b
    h3 = c
    h4 = d
  }
  const digest = (): [number, number, number, number] => {
    const sum = (a: number, b: number, c: number, d: number): [number, number, number, number] => {
      const first = (a + b + c + d) | 0
      return [first, (b + first) | 0, (c + first) | 0, (d + first) | 0]
    }
    const [a, b, c, d] = sum(h1 ^ total, h2 ^ total, h3 ^ total, h4 ^ total)
    return sum(finish(a), finish(b), finish(c), finish(d)).map((h) => h >>> 0) as [
      number,
      number,
      number,
      number,
    ]
  }
  return { feed, digest }
}

function finish(h: number): number {
  let x = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35)
  return x ^ (x >>> 16)
}
