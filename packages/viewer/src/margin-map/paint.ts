import type { MarginResult } from '@alveometer/core'
import { ramp, scaleEndMm } from './colour.js'

/** One pixel for each cell, stretched by the page. Cells without a number stay faint. */
export function paintMap(canvas: HTMLCanvasElement, margin: MarginResult, order: readonly number[]): void {
  canvas.width = order.length
  canvas.height = margin.depthsMm.length
  const context = canvas.getContext('2d')
  if (context === null) return
  const picture = context.createImageData(canvas.width, canvas.height)
  margin.radialMm.forEach((values, row) => {
    order.forEach((column, place) => {
      const value = values[column] ?? null
      const [r, g, b] = value === null ? [128, 128, 128] : ramp(value / scaleEndMm)
      picture.data.set([r, g, b, value === null ? 70 : 255], 4 * (row * order.length + place))
    })
  })
  context.putImageData(picture, 0, 0)
}

/** The colour scale from 0 to its end, left to right. */
export function paintLegend(canvas: HTMLCanvasElement): void {
  canvas.width = 64
  canvas.height = 1
  const context = canvas.getContext('2d')
  if (context === null) return
  const picture = context.createImageData(64, 1)
  for (let n = 0; n < 64; n++) picture.data.set([...ramp(n / 63), 255], 4 * n)
  context.putImageData(picture, 0, 0)
}
