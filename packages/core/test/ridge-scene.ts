import { cubicGrid, plateStack, renderField } from '@alveometer/phantom'
import type { Volume } from '../src/index.js'

/** A ridge of two cortical plates, outer faces at x = 4 (facial) and x = -6, in slices of 0.2 mm from z = -2.9 mm up. */
export const ridge = (slices = 80): Volume =>
  renderField(
    plateStack({
      origin: [0, 0, 0],
      normal: [1, 0, 0],
      faces: [-6, -4, 2, 4],
      greys: [50, 1500, 400, 1500, 50],
      sigmaMm: 0.25,
    }),
    cubicGrid([110, 110, slices], 0.2, [0.03, 0.05, 5.02 + 0.1 * (slices - 80)]),
  )
