import { type SVGTemplateResult, svg } from 'lit'
import type { Pixel } from './view.js'

/**
 * Lines of a technical drawing (ISO 128) and dimensions on it (ISO 129-1), as SVG. Each line is drawn twice, a casing
 * and a core of opposite lightness, so that it reads on any grey. Classes: `cas` casing, `out` outline, `thin`, `centre`.
 */
export const path = (points: readonly Pixel[], closed = false): string =>
  points.length === 0
    ? ''
    : `M${points.map(([x, y]) => `${x.toFixed(2)},${y.toFixed(2)}`).join('L')}${closed ? 'Z' : ''}`

export const cased = (d: string, kind: string): SVGTemplateResult =>
  svg`<path class="cas ${kind}" d=${d}></path><path class=${kind} d=${d}></path>`

export const line = (a: Pixel, b: Pixel, kind: string): SVGTemplateResult => cased(path([a, b]), kind)

export const label = (
  [x, y]: Pixel,
  text: string,
  anchor: 'start' | 'middle' | 'end' = 'middle',
  kind = '',
): SVGTemplateResult =>
  svg`<text class="note ${kind}" x=${x.toFixed(1)} y=${y.toFixed(1)} text-anchor=${anchor}>${text}</text>`

const arrowLength = 8
const arrowHalf = 2.3
const overshoot = 7
const gap = 2

const towards = (a: Pixel, b: Pixel): Pixel => {
  const size = Math.hypot(b[0] - a[0], b[1] - a[1])
  return size > 1e-6 ? [(b[0] - a[0]) / size, (b[1] - a[1]) / size] : [1, 0]
}

const step = (a: Pixel, d: Pixel, k: number): Pixel => [a[0] + d[0] * k, a[1] + d[1] * k]

/** About the width of lettering, pixels: enough to keep it on the sheet. */
export const textWidth = (text: string): number => 7 * text.length

/** Where a text of this length may begin so that it stays on a drawing of the given width. */
export const onSheet = (x: number, text: string, width: number): number =>
  Math.max(8, Math.min(width - 8 - textWidth(text), x))

/** A filled arrowhead with its tip at a point. */
export function arrow(tip: Pixel, direction: Pixel, kind: string): SVGTemplateResult {
  const back = step(tip, direction, -arrowLength)
  const side: Pixel = [-direction[1], direction[0]]
  const d = path([tip, step(back, side, arrowHalf), step(back, side, -arrowHalf)], true)
  return svg`<path class="head cas ${kind}" d=${d}></path><path class="head ${kind}" d=${d}></path>`
}

export interface DimensionOptions {
  /** Shift of the dimension line from the measured points, pixels; extension lines bridge it. */
  readonly offset?: Pixel
  readonly kind?: string
  /** Where the text goes: on the middle, or beyond the second or first point. */
  readonly place?: 'middle' | 'beyond' | 'before'
  /** Length of the reference line under a text placed beyond, pixels. */
  readonly reach?: number
  readonly lift?: number
  /** Without extension lines: they are drawn elsewhere. */
  readonly bare?: boolean
}

/** A dimension line from a to b with arrowheads, extension lines and its number (ISO 129-1). */
export function dimension(
  a: Pixel,
  b: Pixel,
  text: string,
  options: DimensionOptions = {},
): SVGTemplateResult {
  const { offset = [0, 0], kind = '', place = 'middle', reach = 0, lift = 5, bare = false } = options
  const from: Pixel = [a[0] + offset[0], a[1] + offset[1]]
  const to: Pixel = [b[0] + offset[0], b[1] + offset[1]]
  const dir = towards(from, to)
  const span = Math.hypot(to[0] - from[0], to[1] - from[1])
  const outside = span < 2.6 * arrowLength
  const k = `thin ${kind}`
  const ends: [Pixel, Pixel] = [
    outside ? step(from, dir, -arrowLength * 1.8) : from,
    outside ? step(to, dir, arrowLength * 1.8) : to,
  ]
  if (place === 'beyond') ends[1] = step(to, dir, reach)
  if (place === 'before') ends[0] = step(from, dir, -reach)
  const flip: Pixel = [-dir[0], -dir[1]]
  const sides = bare ? '' : svg`${extension(a, from, dir, k)}${extension(b, to, dir, k)}`
  return svg`${sides}${line(ends[0], ends[1], k)}
    ${arrow(from, outside ? dir : flip, kind)}${arrow(to, outside ? flip : dir, kind)}
    ${text === '' ? '' : onLine(place === 'middle' ? [from, to] : place === 'beyond' ? [to, ends[1]] : [ends[0], from], text, lift, kind)}`
}

/** The extension line of one end: from just off the point to just past the dimension line; a short tick when on it. */
function extension(point: Pixel, end: Pixel, dir: Pixel, kind: string): SVGTemplateResult {
  const shift = Math.hypot(end[0] - point[0], end[1] - point[1])
  const across: Pixel = shift > 1 ? towards(point, end) : [-dir[1], dir[0]]
  const start = shift > 1 ? step(point, across, gap) : step(point, across, -overshoot)
  return line(start, step(end, across, overshoot), kind)
}

/** Text along a line, readable from below or from the right (ISO 129-1), a little above it. */
function onLine([a, b]: [Pixel, Pixel], text: string, lift: number, kind: string): SVGTemplateResult {
  let [dx, dy] = towards(a, b)
  if (dx < -1e-3 || (Math.abs(dx) <= 1e-3 && dy > 0)) {
    dx = -dx
    dy = -dy
  }
  const angle = (Math.atan2(dy, dx) * 180) / Math.PI
  const x = (a[0] + b[0]) / 2 + dy * lift
  const y = (a[1] + b[1]) / 2 - dx * lift
  const turn = `rotate(${angle.toFixed(2)} ${x.toFixed(1)} ${y.toFixed(1)})`
  return svg`<text class="note ${kind}" x=${x.toFixed(1)} y=${y.toFixed(1)} transform=${turn} text-anchor="middle">${text}</text>`
}
