import { guidedError } from '@alveometer/core'
import { expect, test } from 'vitest'
import type { View } from '../src/drawing/view.js'
import { imagePlane, toPixel } from '../src/drawing/view.js'
import { crossing } from '../src/miss-cloud/cloud-marks.js'
import { meanAngleDeg, meanEntryMm } from '../src/miss-cloud/error-means.js'
import { HISTOGRAM_WIDTH, histogramBars } from '../src/miss-cloud/histogram.js'
import { halfWidthWords, shareWords } from '../src/miss-cloud/share-words.js'
import { boundWords, rangeWords, standingWords } from '../src/text/limit-words.js'
import { planeView } from '../src/ways-out/plane-view.js'
import { madeUpCloud } from './miss-cloud-made-up.js'

test('meanEntryMm is the mean of the Maxwell, the Rayleigh and the half normal distribution', () => {
  expect(meanEntryMm({ facial: 0.7, mesial: 0.7, apical: 0.7 })).toBeCloseTo(0.7 * Math.sqrt(8 / Math.PI), 6)
  expect(meanEntryMm({ facial: 1.3, mesial: 1.3, apical: 0 })).toBeCloseTo(1.3 * Math.sqrt(Math.PI / 2), 6)
  expect(meanEntryMm({ facial: 0, mesial: 2, apical: 0 })).toBeCloseTo(2 * Math.sqrt(2 / Math.PI), 5)
  expect(meanEntryMm({ facial: 0.01, mesial: 0.01, apical: 0.01 })).toBeCloseTo(
    0.01 * Math.sqrt(8 / Math.PI),
    8,
  )
  expect(meanEntryMm({ facial: 0, mesial: 0, apical: 0 })).toBe(0)
})

test('meanEntryMm of uneven directions is the mean of midpoint quantiles', () => {
  // Mean of |x| over a product of 40 normal quantiles a direction: good to about a hundredth.
  const quantiles = Array.from({ length: 40 }, (_, n) => quantile((n + 0.5) / 40))
  let sum = 0
  for (const a of quantiles)
    for (const b of quantiles) for (const c of quantiles) sum += Math.hypot(0.88 * a, 1.09 * b, 1.19 * c)
  expect(meanEntryMm({ facial: 0.88, mesial: 1.09, apical: 1.19 })).toBeCloseTo(sum / 40 ** 3, 1)
  expect(Math.abs(meanEntryMm({ facial: 0.88, mesial: 1.09, apical: 1.19 }) - sum / 40 ** 3)).toBeLessThan(
    0.02,
  )
})

/** The normal quantile by bisection of its distribution, summed by Simpson's rule. */
function quantile(p: number): number {
  let [low, high] = [-6, 6]
  for (let n = 0; n < 40; n++) {
    const middle = (low + high) / 2
    if (distribution(middle) < p) low = middle
    else high = middle
  }
  return (low + high) / 2
}
function distribution(x: number): number {
  const step = x / 200
  const density = (t: number) => Math.exp((-t * t) / 2) / Math.sqrt(2 * Math.PI)
  let sum = density(0) + density(x)
  for (let n = 1; n < 200; n++) sum += (n % 2 === 1 ? 4 : 2) * density(n * step)
  return 0.5 + (sum * step) / 3
}

test('guided figures come to their published means', () => {
  // Tahmaseb 2018, COIR 29(Suppl 16):416: 1.2 mm and 3.5 degrees.
  expect(meanEntryMm(guidedError().entrySdMm)).toBeCloseTo(1.2, 2)
  expect(meanAngleDeg(guidedError().tiltSdDeg)).toBeCloseTo(3.5, 2)
})

test('a share is never told as all or none where it is not', () => {
  expect(
    [0, 0.0004, 0.004, 0.571, 0.994, 0.9996, 1].map((s) => shareWords(s).replace(/\u202f/g, ' ')),
  ).toEqual(['0 %', '< 0.1 %', '0.4 %', '57 %', '99.4 %', '> 99.9 %', '100 %'])
  expect(halfWidthWords(0.0097)).toBe('±1')
  expect(halfWidthWords(0.0054)).toBe('±0.5')
})

test('the bars of a histogram are parted at the limit, and as much is hatched as is missed', () => {
  const [facial, , exit] = madeUpCloud().limits
  if (facial === undefined || exit === undefined) throw new Error('no limits')
  for (const missed of [facial, exit]) {
    const drawn = histogramBars(missed)
    if (drawn === null) throw new Error('nothing drawn')
    for (const bar of drawn.bars) {
      const middle = bar.x + bar.width / 2
      expect(bar.fails).toBe(missed.side === 'least' ? middle < drawn.limitX : middle > drawn.limitX)
    }
    const area = (fails: boolean | null): number =>
      drawn.bars.reduce((sum, b) => sum + (fails === null || b.fails === fails ? b.width * b.height : 0), 0)
    // The made-up shares are those of a normal distribution; the tails beyond the bars are missing from the drawing.
    expect(area(true) / area(null)).toBeCloseTo(1 - missed.holds, 1)
    expect(drawn.plannedX).toBeCloseTo(HISTOGRAM_WIDTH / 2, 6)
  }
})

test('a limit near the bars widens the drawing, one far away lies past its edge', () => {
  const [, , , bend, depth] = madeUpCloud().limits
  if (bend === undefined || depth === undefined) throw new Error('no limits')
  const near = histogramBars(bend)
  expect(near?.limitX).toBeGreaterThan(HISTOGRAM_WIDTH / 2)
  expect(near?.limitX).toBeLessThan(HISTOGRAM_WIDTH)
  expect(near?.bars.some(({ fails }) => fails)).toBe(false)
  expect(histogramBars(depth)?.limitX).toBeLessThan(0)
  expect(histogramBars({ ...bend, histogram: null })).toBeNull()
})

test('exits of front teeth are told from the edge with their side, everything else by its number', () => {
  const exit = { code: 'edgeBandMm', unit: 'mm', side: 'greatest', limit: -1.5 } as const
  const words = (text: string): string => text.replace(/[\u202f\u00a0]/g, ' ')
  expect(words(boundWords(exit, '11'))).toBe('at least 1.50 mm palatal')
  expect(words(boundWords(exit, '31'))).toBe('at least 1.50 mm lingual')
  expect(words(boundWords({ ...exit, side: 'least', limit: 0 }, '36'))).toBe('at least 0.00 mm')
  expect(words(rangeWords(exit, -3.96, -0.84, '11'))).toBe('3.96 to 0.84 mm palatal')
  expect(words(rangeWords(exit, -0.4, 0.6, '11'))).toBe('0.40 mm palatal to 0.60 mm facial')
  expect(words(rangeWords({ code: 'correctionDeg', unit: 'deg' }, 7.6, 20.8, '11'))).toBe('7.6 to 20.8°')
  expect(words(rangeWords({ code: 'facialMarginMm', unit: 'mm' }, -0.16, 2.3, '11'))).toBe('−0.16 to 2.30 mm')
})

test('a limit stands short, over, at its limit or in hand', () => {
  const margin = { code: 'facialMarginMm', where: 'facial', unit: 'mm', limit: 1 } as const
  const words = (value: number | null): string =>
    standingWords({ ...margin, value, reserve: value === null ? null : value - 1 }, '11').replace(
      /\u202f/g,
      ' ',
    )
  expect([0.31, 1.12, 1.001, null].map(words)).toEqual([
    '0.69 mm short',
    '0.12 mm in hand',
    'at its limit',
    'no number',
  ])
})

test('an axis crosses a plane where it should', () => {
  const point = crossing({ platform: [1, 2, 3], apical: [0, 0.5, 1] }, [9, 9, 7], [0, 0, 1])
  expect(point).toEqual([1, 4, 7])
  expect(crossing({ platform: [0, 0, 0], apical: [1, 0, 0] }, [0, 0, 5], [0, 0, 1])).toBeNull()
})

test('a drawing over a picture has its middle and its scale, as large as it may be drawn', () => {
  const view: View = {
    centre: [3, -4, 5],
    right: [0, 1, 0],
    down: [0, 0, -1],
    mmPerPixel: 0.1,
    width: 180,
    height: 300,
  }
  const drawn = planeView(imagePlane(view), 120)
  expect(drawn.height).toBeCloseTo(200, 9)
  expect(drawn.mmPerPixel).toBeCloseTo(0.15, 12)
  expect(drawn.centre).toEqual(view.centre.map((each) => expect.closeTo(each, 9)))
  expect(toPixel(drawn, [3, -4 + 1.5, 5])[0]).toBeCloseTo(70, 9)
})
