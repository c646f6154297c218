import type { TiltChart } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { arrow, cased, label, path } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { deg, mm } from '../text/format.js'
import { type Box, boxAt } from './boxes.js'
import { beyond, type ChartGrid, type ChartPlace, pixelOf } from './chart-grid.js'
import { columnWords, rowWords } from './chart-words.js'

const ringPx = 7
const hairPx = 14
/** How far from the edge the arrow to a plan beyond it begins, and where its lettering stands, pixels. */
const arrowPx = 22
const besidePx = 12
/** Room that the mark takes. */
const roomPx = hairPx + 3

/** Where the mark is drawn: at the plan's place, or at the edge next to it. */
export interface PresentPlace {
  readonly at: Pixel
  /** To which side the plan lies beyond the chart; nought in both: it lies on it. */
  readonly outward: Pixel
  /** How far out it lies, where it does. */
  readonly text: string
  /** What the lettering on the chart keeps clear of. */
  readonly boxes: readonly Box[]
}

export function presentPlace(
  grid: ChartGrid,
  tooth: string,
  place: ChartPlace,
  widthOf: (text: string) => number,
): PresentPlace {
  const [x, y] = pixelOf(grid, place)
  const at: Pixel = [Math.min(grid.width, Math.max(0, x)), Math.min(grid.height, Math.max(0, y))]
  const [dx, dy] = beyond(grid, place)
  if (dx === 0 && dy === 0) return { at, outward: [0, 0], text: '', boxes: [boxAt(at, roomPx, roomPx)] }
  const size = Math.hypot(dx, dy)
  const outward: Pixel = [dx / size, dy / size]
  const text = `plan ${dx === 0 ? far(grid.spec.kind, tooth, place.row) : far('tilt', tooth, place.column, true)}`
  const half = widthOf(text) / 2 + 3
  const words = wordsAt(grid, at, outward, half)
  return { at, outward, text, boxes: [boxAt(at, arrowPx + 4, 10), boxAt(words, half, 8)] }
}

function far(kind: TiltChart['spec']['kind'], tooth: string, value: number, column = false): string {
  const words = column ? columnWords(tooth) : rowWords(kind, tooth)
  const size = Math.abs(value)
  return `${words.unit === 'deg' ? deg(size, 0) : mm(size, 1)} ${value < 0 ? words.negative : words.positive}`
}

/** Behind the arrow, and within the picture. */
function wordsAt(grid: ChartGrid, [x, y]: Pixel, [dx, dy]: Pixel, half: number): Pixel {
  const inward: Pixel = [
    x - dx * (arrowPx + half + 2),
    y - dy * (arrowPx + besidePx) + (dy === 0 ? 0 : -Math.sign(dy) * 2),
  ]
  return [
    Math.min(grid.width - half - 2, Math.max(half + 2, inward[0])),
    Math.min(grid.height - 10, Math.max(10, inward[1])),
  ]
}

/** A ring with cross hairs where the plan lies; an arrow at the edge where it lies beyond. */
export function presentMark({ at, outward, text, boxes }: PresentPlace): SVGTemplateResult {
  const [x, y] = at
  const [dx, dy] = outward
  if (dx === 0 && dy === 0) {
    const hairs = (
      [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
      ] as const
    )
      .map(([hx, hy]) =>
        path([
          [x + hx * 3, y + hy * 3],
          [x + hx * hairPx, y + hy * hairPx],
        ]),
      )
      .join('')
    return svg`<g class="present" data-mark="plan">
      <path class="cas ring hand" d=${ringPath(at)}></path>${cased(hairs, 'hair hand')}<path class="ring hand" d=${ringPath(at)}></path></g>`
  }
  const words = boxes[1]
  const shaft = path([[x - dx * arrowPx, y - dy * arrowPx], at])
  return svg`<g class="present" data-mark="beyond">${cased(shaft, 'ring hand')}${arrow(at, outward, 'hand')}
    ${words === undefined ? '' : label([words.x, words.y + 4], text, 'middle', 'hand')}</g>`
}

const ringPath = ([x, y]: Pixel): string =>
  `M${(x - ringPx).toFixed(2)},${y.toFixed(2)}a${ringPx},${ringPx} 0 1 0 ${2 * ringPx},0a${ringPx},${ringPx} 0 1 0 ${-2 * ringPx},0`

/** What the hand takes hold of. */
export const presentGrip = ({ at: [x, y] }: PresentPlace): SVGTemplateResult =>
  svg`<g class="grip" data-handle="plan"><circle class="area" cx=${x.toFixed(1)} cy=${y.toFixed(1)} r="14"></circle></g>`
