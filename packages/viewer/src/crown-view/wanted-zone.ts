import { isPosterior, type Plan, type Vec3 } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { arrow, cased, label, line, path, textWidth } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { limitOf } from '../drawing/wall-span.js'
import { axisOnDrawing, type CrownDrawing, inDrawing } from './crown-drawing.js'
import { turnHandle } from './crown-hand.js'

/** Length of the arrow that shows where the exit is wanted, pixels. */
const arrowPx = 22
const word = 'wanted'

/** An upright box: its middle and its halves, pixels. */
type Box = readonly [x: number, y: number, halfWidth: number, halfHeight: number]

const meet = (a: Box, b: Box): boolean =>
  Math.abs(a[0] - b[0]) < a[2] + b[2] && Math.abs(a[1] - b[1]) < a[3] + b[3]

/** Anterior teeth: the line from which on the exit lies behind the edge. Posterior ones have their table drawn. */
export function wantedZone(
  drawing: CrownDrawing,
  plan: Plan,
  exit: Vec3 | null,
  openingMm: number,
): SVGTemplateResult | typeof nothing {
  const { crown } = drawing.placed
  const bandMm = limitOf(plan, 'edgeBandMm')
  if (isPosterior(crown.tooth) || bandMm === undefined) return nothing
  const points = crown.edge.map(([x, y, z]) => inDrawing(drawing, [x - bandMm, y, z]))
  const [x, y] = axisOnDrawing(drawing, 0)
  const size = Math.hypot(x, y)
  const oral: Pixel = [-x / size, -y / size]
  const half = textWidth(word) / 2
  const places = [1, -1].map((side) => {
    const end = points.reduce((a, b) => (side * b[0] > side * a[0] ? b : a))
    const tip: Pixel = [end[0] + oral[0] * arrowPx, end[1] + oral[1] * arrowPx]
    const middle: Pixel = [tip[0] + side * (6 + half), tip[1] - 5]
    return { end, tip, middle, box: [...middle, half, 7] as const }
  })
  const opening = openingMm / 2 / drawing.view.mmPerPixel
  const taken: Box[] = [
    [...turnHandle(drawing), 12, 26],
    ...(exit === null ? [] : [[...drawing.at(exit), opening, opening] as const]),
  ]
  const { end, tip, middle } = places.find(({ box }) => !taken.some((other) => meet(box, other))) ?? places[1]
  return svg`${cased(path(points), 'thin far')}${line(end, tip, 'thin')}${arrow(tip, oral, '')}
    ${label([middle[0], middle[1] + 4], word, 'middle', 'quiet')}`
}
