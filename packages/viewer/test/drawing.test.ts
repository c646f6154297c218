import { type Plan, scale } from '@alveometer/core'
import { expect, test } from 'vitest'
import {
  collarAxes,
  fromPixel,
  imagePlane,
  orientationLetters,
  sectionAxes,
  toPixel,
  type View,
} from '../src/drawing/index.js'
import { nearestCell } from '../src/drawing/margin-at.js'
import { ramp } from '../src/margin-map/colour.js'
import { columnOrder, limitAtMm, runsPath } from '../src/margin-map/map-paths.js'
import { defaultPlan, pointFixture, tiltFixture } from '../src/session/index.js'
import { deg, mm, mmTolerance, tolerance } from '../src/text/index.js'
import { uprightPlan } from './plan.js'

// DICOM PS3.3 C.7.6.2.1.1: in LPS x grows to the left, y to the posterior, z to the head (superior).
test.each([
  [[1, 0, 0], 'L'],
  [[-1, 0, 0], 'R'],
  [[0, 1, 0], 'P'],
  [[0, -1, 0], 'A'],
  [[0, 0, 2], 'S'],
  [[0, 0, -1], 'I'],
  [[0.6, -0.8, 0], 'AL'],
  [[-0.1, -0.99, 0.1], 'A'],
  [[-0.5, 0.6, 0.62], 'SPR'],
  [[0, 0, 0], ''],
] as const)('orientationLetters(%j) is %s', (direction, letters) => {
  expect(orientationLetters(direction)).toBe(letters)
})

test.each(['11', '21', '16', '31', '36', '44', '47'])(
  'tooth %s: facial left, superior above in the section',
  (tooth) => {
    const plan = defaultPlan(
      { seriesUid: '', frameOfReferenceUid: '', fingerprint: '', centre: [0, 0, 0] },
      tooth,
    )
    const { right, down } = sectionAxes(tiltFixture(plan, 'centre', 7, 4))
    const { facial } = plan.site
    expect(right[0] * facial[0] + right[1] * facial[1] + right[2] * facial[2]).toBeLessThan(-0.9)
    expect(down[2]).toBeLessThan(-0.9)
  },
)

test('the section does not turn while the fixture tilts within it', () => {
  const before = sectionAxes(uprightPlan)
  const after = sectionAxes(tiltFixture(uprightPlan, 'platform', 25, 0))
  for (const n of [0, 1, 2] as const) expect(after.down[n]).toBeCloseTo(before.down[n], 12)
})

test.each([
  ['11', 'L'],
  ['21', 'L'],
  ['31', 'L'],
  ['41', 'L'],
])('tooth %s: the collar is seen from below, the right of the drawing is %s', (tooth, letter) => {
  const plan = defaultPlan(
    { seriesUid: '', frameOfReferenceUid: '', fingerprint: '', centre: [0, 0, 0] },
    tooth,
  )
  const { right, down } = collarAxes(pointFixture(plan, 'platform', scale(plan.site.coronal, -1)))
  expect(orientationLetters(right)).toBe(letter)
  expect(orientationLetters(down)).toBe('P')
})

test('toPixel and fromPixel are inverse in the plane, the image has a pixel under each', () => {
  const view: View = {
    ...sectionAxes(uprightPlan),
    centre: [1, 2, 3],
    mmPerPixel: 0.05,
    width: 401,
    height: 301,
  }
  const p = fromPixel(view, [100, 40])
  const [x, y] = toPixel(view, p)
  expect([x, y]).toEqual([expect.closeTo(100, 9), expect.closeTo(40, 9)])
  const plane = imagePlane(view)
  expect([plane.width, plane.height]).toEqual([401, 301])
  // Pixel centres lie half a pixel in: the middle pixel is the view's centre.
  const middle = [0, 1, 2].map(
    (n) => (plane.origin[n] as number) + 200 * (plane.du[n] as number) + 150 * (plane.dv[n] as number),
  )
  middle.forEach((v, n) => {
    expect(v).toBeCloseTo(view.centre[n] as number, 9)
  })
})

test('numbers carry their unit and a true minus', () => {
  expect(mm(1.005)).toBe('1.00\u202fmm')
  expect(mm(-0.584)).toBe('\u22120.58\u202fmm')
  expect(mm(-0.001)).toBe('0.00\u202fmm')
  expect(tolerance(1.42, 0.12)).toBe('1.42\u00a0\u00b10.12')
  expect(mmTolerance(1.42, 0.12)).toBe('1.42\u00a0\u00b10.12\u202fmm')
  expect(deg(9.84)).toBe('9.8\u00b0')
})

test('the map starts on the inner side and has facial in the middle', () => {
  expect(columnOrder([0, 90, 180, 270])).toEqual([2, 3, 0, 1])
})

test('runsPath joins neighbouring cells of a row', () => {
  const grid = { rows: 2, columns: 3, width: 30, height: 20 }
  expect(runsPath(grid, (row, place) => row === 1 && place > 0)).toBe('M10.0,10.0H30.0V20.0H10.0z')
})

test('ramp rises in luminance all the way and is dark blue to yellow', () => {
  const luminance = (t: number): number => {
    const [r, g, b] = ramp(t)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
  }
  const steps = Array.from({ length: 41 }, (_, n) => luminance(n / 40))
  for (let n = 1; n < steps.length; n++) expect(steps[n]).toBeGreaterThan(steps[n - 1] as number)
  // Ends as published: (0, 34, 78) and (254, 232, 56), within a few levels of the polynomial fit.
  expect(ramp(0)[2]).toBeGreaterThan(70)
  expect(ramp(1)[0]).toBeGreaterThan(245)
})

test('nearestCell wraps round the fixture, limits follow the sector', () => {
  const margin = {
    depthsMm: [0, 1],
    anglesDeg: [0, 90, 180, 270],
    radialMm: [
      [1, 2, 3, 4],
      [5, 6, null, 8],
    ],
    state: [
      ['bone', 'bone', 'bone', 'bone'],
      ['bone', 'bone', 'no-surface', 'bone'],
    ],
    halfWidthMm: [
      [0.3, 0.05, 0.05, 0.05],
      [0.05, 0.05, null, 0.05],
    ],
    flags: [
      [['thin'], [], [], []],
      [[], [], [], []],
    ],
    cortexMm: null,
    nearestMm: null,
    interval: { floorMm: 0.1, why: '' },
    sectors: { facial: { limitMm: 2 }, mesial: { limitMm: 1 } },
  } as unknown as Parameters<typeof nearestCell>[0]
  expect(nearestCell(margin, 0.2, 350)).toMatchObject({
    radialMm: 1,
    toleranceMm: Math.hypot(0.1, 0.3),
    flags: ['thin'],
  })
  expect(nearestCell(margin, 0.2, 90)).toMatchObject({
    radialMm: 2,
    toleranceMm: Math.hypot(0.1, 0.05),
    plateMm: null,
  })
  expect(nearestCell(margin, 0.9, 170)).toMatchObject({
    radialMm: null,
    state: 'no-surface',
    row: 1,
    column: 2,
  })
  expect(limitAtMm(margin, ['facial', 'mesial', 'palatal', 'distal'], 315)).toBe(2)
  expect(limitAtMm(margin, ['facial', 'mesial', 'palatal', 'distal'], 45)).toBe(1)
})

test('a default plan stands in the middle of the scan', () => {
  const plan: Plan = defaultPlan(
    { seriesUid: 's', frameOfReferenceUid: 'f', fingerprint: 'p', centre: [10, 20, 30] },
    '36',
  )
  const { platform, apical } = plan.fixture
  expect(platform.map((v, n) => v + 5 * (apical[n] as number))).toEqual(
    [10, 20, 30].map((v) => expect.closeTo(v, 9)),
  )
  // Lower first molars lean inward by 20 degrees with their crowns (Dempster 1963), so outward with their roots.
  expect(apical[2]).toBeCloseTo(-Math.cos(Math.PI / 9), 9)
  expect(apical[0]).toBeGreaterThan(0.3)
  expect(plan.site.facial[0]).toBeGreaterThan(0.9)
})
