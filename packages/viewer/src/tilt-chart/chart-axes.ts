import type { ChartAxis } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { type ChartGrid, pixelOf } from './chart-grid.js'
import { columnWords, rowWords } from './chart-words.js'

/** Room beside the picture, pixels. */
export const besidePx = 44
/** Numbers on an axis stand at least so far apart, pixels. */
const apartPx = 34

/** Round values on an axis, from the least to the greatest, far enough apart at this length. */
export function ticksOn({ from, to, count }: ChartAxis, lengthPx: number, apart = apartPx): number[] {
  const [least, greatest] = [Math.min(from, to), Math.max(from, to)]
  const perUnit = (lengthPx * (count - 1)) / count / Math.max(1e-9, greatest - least)
  const step = [0.2, 0.5, 1, 2, 5, 10, 15, 20, 30, 45].find((size) => size * perUnit >= apart) ?? 90
  const first = Math.ceil(least / step - 1e-9)
  const last = Math.floor(greatest / step + 1e-9)
  return Array.from({ length: last - first + 1 }, (_, n) => (first + n) * step)
}

/** Sizes without a sign: which side they lie on is said at the ends. */
const size = (value: number, unit: 'deg' | 'mm'): string =>
  `${Number(Math.abs(value).toFixed(1))}${unit === 'deg' ? '\u00b0' : ''}`

export function columnAxis(grid: ChartGrid, tooth: string): SVGTemplateResult {
  const { width } = grid
  const words = columnWords(tooth)
  const ticks = ticksOn(grid.spec.columns, width)
  return svg`${ticks.map((value) => {
    const [x] = pixelOf(grid, { column: value, row: 0 })
    return svg`<line class="tick" x1=${x} x2=${x} y1="0" y2="4"></line><text class="number" x=${x} y="16" text-anchor="middle">${size(value, words.unit)}</text>`
  })}
    <text x="0" y="32">\u2190 ${words.negative}</text>
    <text class="axis-name" x=${width / 2} y="32" text-anchor="middle">tilt of the fixture</text>
    <text x=${width} y="32" text-anchor="end">${words.positive} \u2192</text>`
}

/** Beside the picture, the words read from below upwards. */
export function rowAxis(grid: ChartGrid, tooth: string): SVGTemplateResult {
  const { height } = grid
  const words = rowWords(grid.spec.kind, tooth)
  const ticks = ticksOn(grid.spec.rows, height, 24)
  const down = grid.spec.kind === 'depth'
  const [upper, lower] = down ? [words.negative, words.positive] : [words.positive, words.negative]
  const name = words.unit === 'mm' ? 'mm' : 'tilt'
  return svg`${ticks.map((value) => {
    const [, y] = pixelOf(grid, { column: 0, row: value })
    return svg`<line class="tick" x1=${besidePx - 4} x2=${besidePx} y1=${y} y2=${y}></line><text class="number" x=${besidePx - 7} y=${y + 4} text-anchor="end">${size(value, words.unit)}</text>`
  })}
    <text transform="translate(11 0) rotate(-90)" text-anchor="end">${upper} \u2192</text>
    <text class="axis-name" transform="translate(11 ${height / 2}) rotate(-90)" text-anchor="middle">${name}</text>
    <text transform="translate(11 ${height}) rotate(-90)" text-anchor="start">\u2190 ${lower}</text>`
}
