import { type SVGTemplateResult, svg } from 'lit'
import { label, line, textWidth } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { crownBox } from './crown-axes.js'
import { type CrownDrawing, inDrawing } from './crown-drawing.js'

/** The four corners that a round crown leaves free in its box. */
export type Corner = 'upper left' | 'upper right' | 'lower left' | 'lower right'

/** The crown's box on the drawing, pixels. */
export interface PixelBox {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

export function pixelBox(drawing: CrownDrawing): PixelBox {
  const [low, high] = crownBox(drawing.placed.crown)
  const corners = [low, high].flatMap(([x]) =>
    [low, high].flatMap(([, y]) => [low, high].map(([, , z]) => inDrawing(drawing, [x, y, z]))),
  )
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) }
}

/** Clear of scale bar and words above, and of the words below, pixels. */
const [clearAbove, clearBelow] = [48, 36]

/** Lettering in a corner of the crown's box, with a leader to the place it speaks of (ISO 128-2, leader lines). */
export function note(
  drawing: CrownDrawing,
  corner: Corner,
  place: Pixel,
  text: string,
  kind = '',
): SVGTemplateResult {
  const { width, height } = drawing.view
  const box = pixelBox(drawing)
  const size = textWidth(text)
  const right = corner.endsWith('right')
  const inset = 0.1 * (box.right - box.left)
  const left = right ? Math.min(width - 10 - size, box.right - inset) : Math.max(10, box.left + inset - size)
  const level = corner.startsWith('upper')
    ? Math.max(clearAbove, box.top + 14)
    : Math.min(height - clearBelow, box.bottom - 4)
  const end: Pixel = [right ? left - 4 : left + size + 2, level - 4]
  return svg`${line(place, end, `thin ${kind}`)}${label([left, level], text, 'start', kind)}`
}
