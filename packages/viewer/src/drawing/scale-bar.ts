import { type SVGTemplateResult, svg } from 'lit'
import { cased, label, path } from './lines.js'
import type { View } from './view.js'

/** A scale bar of a round length in mm with a tick each millimetre, lower left at (x, y). */
export function scaleBar(view: View, x: number, y: number): SVGTemplateResult {
  const perMm = 1 / view.mmPerPixel
  const lengthMm = [20, 10, 5, 2, 1].find((mm) => mm * perMm <= view.width * 0.22) ?? 1
  const unit = perMm >= 4 ? 1 : 5
  const ticks = Array.from({ length: Math.floor(lengthMm / unit) + 1 }, (_, n) => n * unit)
  const d = ticks.map((mm) =>
    path([
      [x + mm * perMm, y],
      [x + mm * perMm, y - (mm % 5 === 0 ? 8 : 4)],
    ]),
  )
  const bar = path([
    [x, y],
    [x + lengthMm * perMm, y],
  ])
  return svg`${cased(bar + d.join(''), 'thin')}${label([x + lengthMm * perMm + 6, y], `${lengthMm} mm`, 'start')}`
}
