import type { MissedLimit } from '@alveometer/core'
import { html, nothing, svg, type TemplateResult } from 'lit'
import { boundWords, limitWords, rangeWords } from '../text/limit-words.js'

export const HISTOGRAM_WIDTH = 120
export const HISTOGRAM_HEIGHT = 30
/** Room for the axis and the mark of the planned value below the bars, pixels. */
const FOOT = 5
/** A limit further beyond the bars than this share of their range is told by an arrow at the edge. */
const NEAR = 0.35

export interface HistogramBar {
  readonly x: number
  readonly width: number
  readonly height: number
  /** On the side of the limit where it is missed. */
  readonly fails: boolean
}

export interface HistogramDrawn {
  readonly bars: readonly HistogramBar[]
  /** Where the limit lies, pixels; past an edge where it is beyond the drawing. */
  readonly limitX: number
  readonly plannedX: number | null
}

/** Bars in pixels; the bin that holds the limit is parted by it. */
export function histogramBars(missed: MissedLimit): HistogramDrawn | null {
  const { histogram, limit, side, planned } = missed
  if (histogram === null || histogram.counts.length === 0) return null
  const { from, width, counts } = histogram
  const to = from + width * counts.length
  const near = (to - from) * NEAR
  const low = limit < from && limit > from - near ? limit - 0.03 * (to - from) : from
  const high = limit > to && limit < to + near ? limit + 0.03 * (to - from) : to
  const x = (value: number): number => ((value - low) / (high - low)) * HISTOGRAM_WIDTH
  const most = Math.max(1, ...counts)
  const bars = counts.flatMap((count, n) => {
    const [a, b] = [from + n * width, from + (n + 1) * width]
    const middle = Math.min(b, Math.max(a, limit))
    const height = (count / most) * (HISTOGRAM_HEIGHT - FOOT - 1)
    const part = (start: number, end: number, fails: boolean): HistogramBar[] =>
      end > start && count > 0 ? [{ x: x(start), width: x(end) - x(start), height, fails }] : []
    return [...part(a, middle, side === 'least'), ...part(middle, b, side === 'greatest')]
  })
  return { bars, limitX: x(limit), plannedX: planned === null ? null : x(planned) }
}

const rects = (bars: readonly HistogramBar[]): string =>
  bars
    .map(({ x, width, height }) => {
      const top = HISTOGRAM_HEIGHT - FOOT - height
      return `M${x.toFixed(2)},${top.toFixed(2)}h${width.toFixed(2)}V${HISTOGRAM_HEIGHT - FOOT}h${(-width).toFixed(2)}Z`
    })
    .join('')

/** How a limit's value spreads: the limit a line, what misses it hatched, a triangle at what is planned. */
export function histogram(missed: MissedLimit, tooth: string): TemplateResult | typeof nothing {
  const drawn = histogramBars(missed)
  if (drawn === null) return nothing
  const { bars, limitX, plannedX } = drawn
  const base = HISTOGRAM_HEIGHT - FOOT
  const { percentiles } = missed
  const spread =
    percentiles === null
      ? ''
      : `, 9 of 10 within ${rangeWords(missed, percentiles.p5, percentiles.p95, tooth)}`
  const inside = limitX >= 0 && limitX <= HISTOGRAM_WIDTH
  const failing = rects(bars.filter(({ fails }) => fails))
  return html`<svg class="histogram" role="img" viewBox="-6 0 ${HISTOGRAM_WIDTH + 12} ${HISTOGRAM_HEIGHT}"
      aria-label="${limitWords(missed, tooth)}: ${boundWords(missed, tooth)}${spread}">
    <path class="holding" d=${rects(bars.filter(({ fails }) => !fails))}></path>
    <path class="failing" d=${failing}></path><path class="failing-hatch" fill="url(#failing)" d=${failing}></path>
    <path class="base" d="M0,${base}H${HISTOGRAM_WIDTH}"></path>
    ${
      inside
        ? svg`<path class="limit" d="M${limitX.toFixed(1)},0V${base + 2}"></path>`
        : svg`<path class="beyond" d=${limitX < 0 ? `M-6,${base - 5}l5,-3v6Z` : `M${HISTOGRAM_WIDTH + 6},${base - 5}l-5,-3v6Z`}></path>`
    }
    ${
      plannedX === null || plannedX < 0 || plannedX > HISTOGRAM_WIDTH
        ? nothing
        : svg`<path class="planned" d="M${plannedX.toFixed(1)},${base + 0.5}l-3,4.5h6Z"></path>`
    }
  </svg>`
}
