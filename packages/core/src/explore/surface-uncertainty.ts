import type { BoneModel } from '../bone/index.js'
import { FAST_HALF_WIDTH_MM, scanHalfWidthMm, shownHalfWidthMm } from '../bone/shown-interval.js'

/** Half width of the 95 % interval of a margin, mm: that of the fast march, as the surface is found by the same crossing. */
export const surfaceUncertaintyMm = (model: BoneModel): number =>
  shownHalfWidthMm(model, scanHalfWidthMm(model, FAST_HALF_WIDTH_MM))
