import type { MapRows } from '@alveometer/core'
import { ramp } from './colour.js'

type Rgba = readonly [number, number, number, number]
const noNumber: Rgba = [128, 128, 128, 70]
/** The scale in as many steps as a picture can show: it is looked up thousands of times in each frame of a drag. */
const shades: readonly Rgba[] = Array.from({ length: 256 }, (_, n) => [...ramp(n / 255), 255])
const shade = (t: number): Rgba => shades[Math.round(255 * Math.min(1, Math.max(0, t)))] as Rgba

/** One pixel for each cell, stretched by the page. Cells without a number stay faint. */
export function paintMap(
  canvas: HTMLCanvasElement,
  valuesMm: MapRows<number | null>,
  endMm: number,
  order: readonly number[],
): void {
  canvas.width = order.length
  canvas.height = valuesMm.length
  const context = canvas.getContext('2d')
  if (context === null) return
  const picture = context.createImageData(canvas.width, canvas.height)
  valuesMm.forEach((values, row) => {
    order.forEach((column, place) => {
      const value = values[column] ?? null
      const colour = value === null ? noNumber : shade(value / endMm)
      picture.data.set(colour, 4 * (row * order.length + place))
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
