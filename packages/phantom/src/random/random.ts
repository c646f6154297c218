/** A source of numbers that gives the same ones for the same seed on every machine. */
export interface Random {
  /** Uniform in [0, 1), 32 bits. */
  uniform(): number
  /** Standard normal. */
  normal(): number
}

/**
 * The generator sfc32 (Doty-Humphrey, PractRand: three 32 bit words and a counter, period about 2^128 on average),
 * seeded by mixing the characters of a text, so that "seed/noise" and "seed/marrow" are independent.
 */
export function createRandom(seed: string | number): Random {
  const text = String(seed)
  const word = (n: number): number => {
    let hash = Math.imul(n, 0x9e3779b1) | 0
    for (let i = 0; i < text.length; i++)
      hash = Math.imul(hash ^ text.charCodeAt(i), 0x85ebca6b) ^ (hash >>> 15)
    hash = Math.imul(hash ^ (hash >>> 16), 0xc2b2ae35)
    return hash ^ (hash >>> 13)
  }
  let a = word(1)
  let b = word(2)
  let c = word(3)
  let counter = 1
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (((c << 21) | (c >>> 11)) + sum) | 0
    return sum >>> 0
  }
  for (let i = 0; i < 15; i++) next()
  let spare = Number.NaN
  const uniform = () => next() / 4294967296
  // Box and Muller 1958: two normals from two uniforms.
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare
      spare = Number.NaN
      return kept
    }
    const radius = Math.sqrt(-2 * Math.log((next() + 1) / 4294967297))
    const angle = (2 * Math.PI * next()) / 4294967296
    spare = radius * Math.sin(angle)
    return radius * Math.cos(angle)
  }
  return { uniform, normal }
}
