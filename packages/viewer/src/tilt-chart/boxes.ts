import type { Pixel } from '../drawing/view.js'

/** An upright box by its middle and its halves, pixels. */
export interface Box {
  readonly x: number
  readonly y: number
  readonly halfWidth: number
  readonly halfHeight: number
}

export const boxAt = ([x, y]: Pixel, halfWidth: number, halfHeight: number): Box => ({
  x,
  y,
  halfWidth,
  halfHeight,
})

export const meet = (a: Box, b: Box): boolean =>
  Math.abs(a.x - b.x) < a.halfWidth + b.halfWidth && Math.abs(a.y - b.y) < a.halfHeight + b.halfHeight

export const widened = (box: Box, byPx: number): Box => ({
  ...box,
  halfWidth: box.halfWidth + byPx,
  halfHeight: box.halfHeight + byPx,
})
