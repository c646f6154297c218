import { column, invert, type PlacedCrown, transformPoint, type Vec3 } from '@alveometer/core'
import { type Pixel, toPixel, type View, type ViewAxes } from '../drawing/view.js'
import type { CrownSide } from './crown-axes.js'
import { hides, type Relief } from './relief.js'

/** A placed crown as it is drawn now: how it is seen, and what it hides. */
export interface CrownDrawing {
  readonly side: CrownSide
  readonly placed: PlacedCrown
  readonly axes: ViewAxes
  readonly view: View
  readonly at: (point: Vec3) => Pixel
  /** Whether the crown hides a point in LPS mm. */
  readonly isHidden: (point: Vec3) => boolean
}

export function crownDrawing(
  side: CrownSide,
  placed: PlacedCrown,
  axes: ViewAxes,
  view: View,
  relief: Relief,
): CrownDrawing {
  const toCrown = invert(placed.pose)
  return {
    side,
    placed,
    axes,
    view,
    at: (point) => toPixel(view, point),
    isHidden: (point) => hides(relief, transformPoint(toCrown, point)),
  }
}

/** A point of the crown frame on the drawing. */
export const inDrawing = ({ placed, at }: CrownDrawing, point: Vec3): Pixel =>
  at(transformPoint(placed.pose, point))

/** Where the crown's own axis points on the drawing, pixels a mm. */
export function axisOnDrawing({ placed, view }: CrownDrawing, axis: 0 | 1 | 2): Pixel {
  const direction = column(placed.pose, axis)
  const on = (d: Vec3): number =>
    (direction[0] * d[0] + direction[1] * d[1] + direction[2] * d[2]) / view.mmPerPixel
  return [on(view.right), on(view.down)]
}
