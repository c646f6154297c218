import { add, type ImagePlane, length, scale } from '@alveometer/core'
import type { View } from '../drawing/view.js'

/** A plane as a drawing that is so many pixels wide, its pictures' shape kept. */
export function planeView({ origin, du, dv, width, height }: ImagePlane, widthPx: number): View {
  const step = length(du)
  const mmPerPixel = (width * step) / widthPx
  const middle = add(scale(du, (width - 1) / 2), scale(dv, (height - 1) / 2))
  return {
    centre: add(origin, middle),
    right: scale(du, 1 / step),
    down: scale(dv, 1 / length(dv)),
    mmPerPixel,
    width: widthPx,
    height: (height * length(dv)) / mmPerPixel,
  }
}
