import { createRandom } from '../random/index.js'
import type { Field } from './field.js'

/** A random texture known between voxels too. */
export interface Waves {
  readonly meanGrey: number
  readonly sd: number
  /** Sigma of a Gaussian correlation, exp(-d^2 / (4 l^2)), before the blur. */
  readonly lengthMm: number
  readonly sigmaMm: number
  readonly seed: string
}

const COUNT = 64

/**
 * `v = mean + sd sqrt(2 / N) sum cos(k_n . p + phase_n) exp(-|k_n|^2 s^2 / 2)`, each component of k normal with
 * deviation 1 / (sqrt(2) l): a Gaussian random field to within its N waves, blurred exactly.
 */
export function waves({ meanGrey, sd, lengthMm, sigmaMm, seed }: Waves): Field {
  const random = createRandom(seed)
  const spread = Math.SQRT1_2 / lengthMm
  const list = Array.from({ length: COUNT }, () => {
    const k = [spread * random.normal(), spread * random.normal(), spread * random.normal()] as const
    const square = k[0] * k[0] + k[1] * k[1] + k[2] * k[2]
    return {
      k,
      phase: 2 * Math.PI * random.uniform(),
      height: sd * Math.sqrt(2 / COUNT) * Math.exp((-square * sigmaMm * sigmaMm) / 2),
    }
  })
  return (x, y, z) => {
    let sum = meanGrey
    for (const { k, phase, height } of list) sum += height * Math.cos(k[0] * x + k[1] * y + k[2] * z + phase)
    return sum
  }
}
