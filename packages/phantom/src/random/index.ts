export { gaussianBlur, gaussianKernel } from './blur.js'
export { correlatedNoise, whiteNoise } from './noise.js'
export type { Random } from './random.js'
export { createRandom } from './random.js'
