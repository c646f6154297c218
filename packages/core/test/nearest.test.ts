import { describe, expect, test } from 'vitest'
import type { SurfaceHits } from '../src/bone/hits.js'
import { nearestDistance } from '../src/bone/nearest.js'

/** A net of exact hits round the z axis: depth z, angle from +x. */
function exactNet(
  depths: readonly number[],
  columns: number,
  radius: (depth: number, angle: number) => number,
): SurfaceHits {
  const points: number[] = []
  for (const depth of depths)
    for (let c = 0; c < columns; c++) {
      const angle = (2 * Math.PI * c) / columns
      const r = radius(depth, angle)
      points.push(r * Math.cos(angle), r * Math.sin(angle), depth)
    }
  const count = depths.length * columns
  return {
    rows: depths.length,
    columns,
    states: new Array(count).fill('bone'),
    radiusMm: new Float64Array(count),
    followedMm: new Float64Array(count),
    points: Float64Array.from(points),
  }
}

const degrees = (angle: number) => (angle * Math.PI) / 180
const even = (from: number, to: number, count: number) =>
  Array.from({ length: count }, (_, n) => from + ((to - from) * n) / (count - 1))

// Values: closed forms worked out by hand and by brute force, independent of this code.
describe('nearestDistance(net of hits) is the shortest distance to the surface', () => {
  test('cylinder bone R 5, axis 1.3 mm off, fixture radius 2.05', () => {
    const hits = exactNet(
      even(-3, 3, 13),
      2880,
      (_, a) => -1.3 * Math.cos(a) + Math.sqrt(25 - (1.3 * Math.sin(a)) ** 2),
    )
    const near = nearestDistance(hits)
    const radial = [1.65, 1.945535, 2.778043, 3.784012, 4.25]
    const shortest = [1.65, 1.891724, 2.572553, 3.542735, 4.25]
    for (const [n, deg] of [0, 45, 90, 135, 180].entries()) {
      const [c, s] = [Math.cos(degrees(deg)), Math.sin(degrees(deg))]
      const at = Math.round((deg * 2880) / 360) + 6 * 2880
      expect(Math.hypot(hits.points[3 * at], hits.points[3 * at + 1]) - 2.05).toBeCloseTo(radial[n], 5)
      expect(Math.abs(near(2.05 * c, 2.05 * s, 0, 100) - shortest[n])).toBeLessThan(1e-4)
    }
  })

  test('ellipse 4 x 7, centred fixture radius 2', () => {
    const hits = exactNet(even(-3, 3, 13), 2880, (_, a) => 1 / Math.hypot(Math.cos(a) / 4, Math.sin(a) / 7))
    const near = nearestDistance(hits)
    const shortest = [2, 2.217666, 2.481409, 2.835325, 3.749747]
    for (const [n, deg] of [0, 30, 45, 60, 90].entries())
      expect(
        Math.abs(near(2 * Math.cos(degrees(deg)), 2 * Math.sin(degrees(deg)), 0, 100) - shortest[n]),
      ).toBeLessThan(1e-4)
  })

  test('plane 4 mm from the axis, fixture radius 2: shortest is 4 - 2 cos(alpha)', () => {
    const hits = exactNet(even(-3, 3, 5), 2880, (_, a) => (Math.cos(a) > 0.2 ? 4 / Math.cos(a) : 20))
    const near = nearestDistance(hits)
    for (const [deg, shortest] of [
      [15, 2.068148],
      [30, 2.267949],
      [45, 2.585786],
    ])
      expect(
        Math.abs(near(2 * Math.cos(degrees(deg)), 2 * Math.sin(degrees(deg)), 0, 100) - shortest),
      ).toBeLessThan(1e-4)
  })

  test('wedge of half angle 20 deg, upright axis in its middle plane, fixture radius 1.5', () => {
    const half = Math.tan(degrees(20))
    const hits = exactNet(even(1, 12, 111), 360, (depth, a) =>
      Math.min(20, (depth * half) / Math.max(1e-3, Math.abs(Math.cos(a)))),
    )
    const near = nearestDistance(hits)
    for (const [depth, shortest] of [
      [3, 0.383479],
      [5, 0.300562],
      [8, 1.326622],
    ])
      expect(Math.abs(near(1.5, 0, depth, 100) - shortest)).toBeLessThan(1e-4)
  })

  test('a hit between rays without one counts as a point', () => {
    const hits = exactNet([0, 1, 2, 3], 8, (depth) => (depth === 1 ? 3 : 5))
    hits.states.fill('no-data', 0, 8)
    hits.states.fill('no-data', 9, 16)
    const near = nearestDistance(hits)
    expect(near(2, 0, 1, 100)).toBeCloseTo(1, 12)
    expect(near(2, 0, 1.5, 100)).toBeCloseTo(Math.hypot(1, 0.5), 12)
  })

  test('nothing nearer than the bound gives the bound', () => {
    expect(nearestDistance(exactNet([0, 1], 8, () => 5))(0, 0, 0.5, 1)).toBe(1)
  })
})
