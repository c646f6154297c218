import { expect, test } from 'vitest'
import { bestPlaces } from '../src/tilt-chart/best-places.js'
import { beyond, cellOf, latticeOf, pixelOf, placeAt, placeOf } from '../src/tilt-chart/chart-grid.js'
import { draggedTo, steppedBy } from '../src/tilt-chart/chart-hand.js'
import { contours, roundLevels } from '../src/tilt-chart/contours.js'
import { exitZones } from '../src/tilt-chart/exit-zones.js'
import { isoLines, lengthOf, spaced } from '../src/tilt-chart/iso-lines.js'
import { roundingOff, smoothed } from '../src/tilt-chart/smoothed.js'
import { madeUpBendMm, madeUpChart, madeUpSpec } from './tilt-chart-made-up.js'

const grid = { spec: madeUpSpec, width: 610, height: 310 }
const depthSpec = { ...madeUpSpec, kind: 'depth', rows: { from: -3, to: 3, count: 31 } } as const

const evenly = (count: number): number[] => Array.from({ length: count }, (_, n) => n)
const lattice = (count: number, value: (x: number, y: number) => number | null) => ({
  xs: evenly(count),
  ys: evenly(count),
  value: (row: number, column: number) => value(column, row),
})

test('a line of equal value of a plane is straight and open, with what is higher on its left', () => {
  const lines = isoLines(
    lattice(11, (x, y) => 2 * x + y),
    9.5,
  )
  expect(lines).toHaveLength(1)
  for (const [x, y] of lines[0] ?? []) expect(2 * x + y).toBeCloseTo(9.5, 12)
  for (const { direction } of spaced(lines[0] ?? [], 1)) {
    // Left of a way as seen on the screen, where y goes down: (dy, -dx). The plane rises along (2, 1).
    expect(2 * direction[1] - direction[0]).toBeGreaterThan(0)
  }
})

test('a circle is closed, of the length and area of one', () => {
  const lines = isoLines(
    lattice(61, (x, y) => Math.hypot(x - 30, y - 30)),
    20,
  )
  expect(lines).toHaveLength(1)
  const [line] = lines
  expect(line?.[0]).toEqual(line?.[line.length - 1])
  // A chord of one square lies at most 1 / (8 * 20) inside of its arc; interpolation adds as little.
  for (const [x, y] of line ?? []) expect(Math.abs(Math.hypot(x - 30, y - 30) - 20)).toBeLessThan(0.0125)
  expect(Math.abs(lengthOf(line ?? []) - 40 * Math.PI)).toBeLessThan(0.05)
})

test('a line ends at points without a value', () => {
  const broken = isoLines(
    lattice(11, (x, y) => (y === 5 ? null : x)),
    4.5,
  )
  expect(broken.map((line) => line.map(([, y]) => y).sort((a, b) => a - b))).toEqual([
    [0, 1, 2, 3, 4],
    [6, 7, 8, 9, 10],
  ])
})

test('which corners of a saddle hang together is told by its middle', () => {
  // Upper left and lower right are 1, the others as told; crossings by proportion.
  const ends = (others: number): string[] =>
    isoLines({ xs: [0, 1], ys: [0, 1], value: (row, column) => (row === column ? 1 : others) }, 0.5)
      .map((line) =>
        line
          .map(([x, y]) => `${x.toFixed(3)} ${y.toFixed(3)}`)
          .sort()
          .join(', '),
      )
      .sort()
  expect(ends(0.2)).toEqual(['0.000 0.625, 0.375 1.000', '0.625 0.000, 1.000 0.375'])
  expect(ends(-0.2)).toEqual(['0.000 0.417, 0.417 0.000', '0.583 1.000, 1.000 0.583'])
})

test('a place and its pixel are each other, mesial above, deeper below', () => {
  const rounded = (pixel: readonly number[]): number[] => pixel.map((value) => Number(value.toFixed(9)))
  expect(rounded(pixelOf(grid, { column: -30, row: 15 }))).toEqual([5, 5])
  expect(rounded(pixelOf(grid, { column: 0, row: 0 }))).toEqual([305, 155])
  expect(rounded(pixelOf({ ...grid, spec: depthSpec }, { column: 30, row: 3 }))).toEqual([605, 305])
  const place = placeAt(grid, [123, 45])
  expect(pixelOf(grid, place)[0]).toBeCloseTo(123, 9)
  expect(pixelOf(grid, place)[1]).toBeCloseTo(45, 9)
  expect(placeOf(madeUpSpec, cellOf(madeUpSpec, { column: 7.6, row: -99 }))).toEqual({ column: 8, row: -15 })
  expect(beyond(grid, { column: 30.4, row: 0 })).toEqual([0, 0])
  expect(beyond(grid, { column: 31, row: 16 })).toEqual([1, -1])
})

test('arrow keys step on the picture and stop at its ends', () => {
  const from = { column: 29, row: 0 }
  const to = (spec: typeof madeUpSpec, key: string, shiftKey = false) =>
    steppedBy(spec, from, { key, shiftKey })
  expect(to(madeUpSpec, 'ArrowUp')).toEqual({ column: 29, row: 1 })
  expect(to(madeUpSpec, 'ArrowDown', true)).toEqual({ column: 29, row: -5 })
  expect(to(madeUpSpec, 'ArrowRight', true)).toEqual({ column: 30, row: 0 })
  expect(to(depthSpec, 'ArrowDown')?.row).toBeCloseTo(0.2, 12)
  expect(to(madeUpSpec, 'Enter')).toBe(null)
  expect(draggedTo(madeUpSpec, { column: 3.123, row: -40 })).toEqual({ column: 3.1, row: -15 })
})

test('graft is drawn at a few round volumes', () => {
  expect(roundLevels([0, null, 400])).toEqual([100, 200, 300, 400])
  expect(roundLevels(Array.from({ length: 101 }, (_, n) => n))).toEqual([50])
  expect(roundLevels([0, 0.4])).toEqual([])
})

test('smoothing leaves planes, and cells without a number', () => {
  const columns = 9
  const plane = Array.from({ length: 81 }, (_, n) => 3 * (n % columns) + Math.floor(n / columns))
  smoothed(plane, columns, roundingOff).forEach((value, n) => {
    const [x, y] = [n % columns, Math.floor(n / columns)]
    if (x > 1 && x < 7 && y > 1 && y < 7) expect(value).toBeCloseTo(plane[n] ?? Number.NaN, 12)
  })
  expect(smoothed([1, null, 3], 3, roundingOff)[1]).toBe(null)
})

test('zone outlines lie within three quarters of a cell of where the offset meets the band, the zone on their left', () => {
  const chart = madeUpChart()
  const zones = exitZones(chart, grid)
  const palatal = zones.find(({ key }) => key === 'palatal')
  expect(palatal?.wanted).toBe(true)
  const main = [...(palatal?.lines ?? [])].sort((a, b) => lengthOf(b) - lengthOf(a))[0] ?? []
  for (const at of main) {
    const { column, row } = placeAt(grid, at)
    // Offset 20 tan(tilt) - 2.2 + 0.006 row^2 = -1.5, for rows that have cells.
    const within = Math.max(-15, Math.min(15, row))
    const exact = (Math.atan((0.7 - 0.006 * within ** 2) / 20) * 180) / Math.PI
    expect(Math.abs(column - exact)).toBeLessThan(0.75)
  }
  // Palatal tilts lie to the left of the picture: of a line that goes up.
  for (const { direction } of spaced(main, 10)) expect(direction[1]).toBeLessThan(0)
})

test('bend contours lie where the bend is that large', () => {
  const chart = madeUpChart()
  const lines = contours(chart, grid)
  const limit = lines.find(({ kind }) => kind === 'limit')
  expect(limit?.text).toBe('bend limit 25\u00b0')
  const points = limit?.lines.flat() ?? []
  expect(points.length).toBeGreaterThan(20)
  const lattice = latticeOf(grid, chart.correctionDeg)
  expect(lattice.xs).toHaveLength(63)
  for (const at of points) {
    const { column, row } = placeAt(grid, at)
    const within = Math.max(-15, Math.min(15, row))
    const offsetMm = 20 * Math.tan((column * Math.PI) / 180) - 2.2 + 0.006 * within ** 2
    const bendDeg = (Math.atan((offsetMm + 1.5) / madeUpBendMm) * 180) / Math.PI
    expect(Math.abs(bendDeg - 25)).toBeLessThan(0.1)
  }
})

test('lines of a coarse chart go through the measured cells alone', () => {
  const spec = { ...madeUpSpec, columns: { from: 0, to: 6, count: 7 }, rows: { from: 0, to: 5, count: 6 } }
  // Every fourth cell and the last holds its column's number, the others that of the nearest.
  const chart = { spec, width: 70, height: 60 }
  const held = [0, 0, 0, 4, 4, 6, 6]
  const field = Array.from({ length: 42 }, (_, n) => held[n % 7] ?? 0)
  const lattice = latticeOf(chart, field, 4)
  expect(lattice.xs).toEqual([0, 5, 45, 65, 70])
  expect(lattice.ys).toEqual([0, 5, 15, 55, 60])
  // Between 0 and 4 in proportion: 1 lies a quarter of the way from the first cell's middle to the fifth's.
  expect(isoLines(lattice, 1)).toEqual([lattice.ys.map((y) => [15, y])])
})

test('the most bone is found among all tilts and among those with the exit wanted', () => {
  const { anywhere, wanted } = bestPlaces(madeUpChart(), 'nearest')
  // The made-up margin is 2.1 mm at 14 degrees facial, 3 distal and falls to all sides; the exit is palatal up to 2 degrees.
  expect(anywhere).toEqual({ place: { column: 14, row: -3 }, valueMm: 2.1 })
  expect(wanted?.place).toEqual({ column: 1, row: -3 })
  const none = bestPlaces(madeUpChart({ exit: madeUpChart().exit.map(() => 'facial') }), 'reserve')
  expect(none.anywhere?.valueMm).toBeCloseTo(1.1, 12)
  expect(none.wanted).toBe(null)
  const { nearestMm } = madeUpChart()
  const most = Math.max(...nearestMm.map((mm) => mm ?? 0))
  const clearanceMm = nearestMm.map((mm) => (mm === most ? -0.1 : 0.4))
  expect(bestPlaces(madeUpChart({ clearanceMm }), 'nearest').anywhere?.valueMm).toBeCloseTo(most - 0.05, 12)
})
