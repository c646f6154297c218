import { type SVGTemplateResult, svg } from 'lit'
import { label, line, textWidth } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { crownBox } from './crown-axes.js'
import { type CrownDrawing, inDrawing } from './crown-drawing.js'

/** Lettering about a place on the crown; of several places the one nearest to the lettering is led to. */
export interface Note {
  readonly places: readonly Pixel[]
  readonly text: string
  readonly kind: string
}

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

interface Corner {
  readonly right: boolean
  readonly level: number
}

/**
 * Lettering in the corners that a crown leaves free in its box, each in the one nearest to its place among those still
 * free, with leader lines (ISO 128-2). The first notes choose first; there are four corners.
 */
export function notes(drawing: CrownDrawing, wanted: readonly Note[]): SVGTemplateResult[] {
  const { width, height } = drawing.view
  const box = pixelBox(drawing)
  // Seen along its axis a crown is round; from the side its edge fills the corners.
  const inset = drawing.side === 'occlusal' ? 0.1 * (box.right - box.left) : -8
  const upper = Math.max(clearAbove, box.top + 14)
  const lower = Math.min(height - clearBelow, box.bottom - 4)
  let free: Corner[] = [true, false].flatMap((right) => [upper, lower].map((level) => ({ right, level })))
  return wanted.flatMap(({ places, text, kind }) => {
    const size = textWidth(text)
    const start = ({ right }: Corner): number =>
      right ? Math.min(width - 10 - size, box.right - inset) : Math.max(10, box.left + inset - size)
    const end = (corner: Corner): Pixel => [
      corner.right ? start(corner) - 4 : start(corner) + size + 2,
      corner.level - 4,
    ]
    const ways = free.flatMap((corner) =>
      places.map((place) => ({ corner, place, px: apart(end(corner), place) })),
    )
    if (ways.length === 0) return []
    const { corner, place } = ways.reduce((a, b) => (b.px < a.px ? b : a))
    free = free.filter((other) => other !== corner)
    return [
      svg`${line(place, end(corner), `thin ${kind}`)}${label([start(corner), corner.level], text, 'start', kind)}`,
    ]
  })
}

const apart = (a: Pixel, b: Pixel): number => Math.hypot(a[0] - b[0], a[1] - b[1])
