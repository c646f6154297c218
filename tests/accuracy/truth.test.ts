import { describe, expect, test } from 'vitest'
import { cylinderTruth, type EccentricCylinder } from './truth/cylinder.js'
import { ellipseDistance, ellipseExit } from './truth/ellipse.js'
import { wedgeDistance } from './truth/wedge.js'

// The answers of the scenes against brute force and values worked out by hand.
const radians = (deg: number) => (deg * Math.PI) / 180

describe('ellipse 4 x 7', () => {
  const rim = Array.from({ length: 200_000 }, (_, n) => {
    const q = (2 * Math.PI * n) / 200_000
    return [4 * Math.cos(q), 7 * Math.sin(q)] as const
  })

  test.each([
    [0, 2, 2],
    [30, 2.386259, 2.217666],
    [45, 2.911525, 2.481409],
    [60, 3.685939, 2.835325],
    [90, 5, 3.749747],
  ])('at %f degrees from radius 2: radial %f, shortest %f', (deg, radial, shortest) => {
    const direction = [Math.cos(radians(deg)), Math.sin(radians(deg))] as const
    const at = [2 * direction[0], 2 * direction[1]] as const
    expect(ellipseExit([4, 7], at, direction)).toBeCloseTo(radial, 5)
    expect(ellipseDistance([4, 7], at)).toBeCloseTo(shortest, 5)
  })

  test.each([
    [0.3, 0.1],
    [1, -5],
    [-3.5, 2],
    [5, 1],
    [0.1, 6.8],
    [0, 2],
    [0, 6.5],
    [3.2, 0],
  ])('the nearest of many places of the rim to (%f, %f)', (u, v) => {
    const least = Math.min(...chunked(rim, ([x, y]) => Math.hypot(u - x, v - y)))
    expect(Math.abs(ellipseDistance([4, 7], [u, v]))).toBeCloseTo(least, 4)
    expect(Math.sign(ellipseDistance([4, 7], [u, v]))).toBe((u / 4) ** 2 + (v / 7) ** 2 < 1 ? 1 : -1)
  })
})

/** The least of a function over parts of a list, so that no call has too many arguments. */
function chunked<T>(list: readonly T[], f: (item: T) => number): number[] {
  const least: number[] = []
  for (let n = 0; n < list.length; n += 10_000)
    least.push(list.slice(n, n + 10_000).reduce((m, item) => Math.min(m, f(item)), Number.POSITIVE_INFINITY))
  return least
}

test('wedge of 20 degrees: shortest distances from a fixture of radius 1.5 in its middle', () => {
  for (const [depth, shortest] of [
    [5, 0.300562],
    [8, 1.326622],
  ])
    expect(wedgeDistance(20, [1.5, -depth])).toBeCloseTo(shortest, 5)
  expect(wedgeDistance(20, [1.5, -3])).toBeCloseTo(-0.383479, 5)
})

describe('eccentric cylinder', () => {
  const shell: EccentricCylinder = {
    ...{ origin: [1, 2, 3], axis: [0, 0, 2], towards: [0, 1, 5] },
    ...{ outerMm: 5, innerMm: 3.525, eccentricityMm: 1.125 },
  }
  const truth = cylinderTruth(shell)

  test('from its axis the rim is R away, the plate thinnest towards the shift and thickest opposite', () => {
    for (const [direction, thickness] of [
      [[0, 1, 0], 0.35],
      [[0, -1, 0], 2.6],
      [[1, 0, 0], 5 - Math.sqrt(3.525 ** 2 - 1.125 ** 2)],
    ] as const) {
      const exit = truth([1, 2, -7], direction)
      expect(exit.distanceMm).toBeCloseTo(5, 12)
      expect(exit.thicknessMm).toBeCloseTo(thickness, 12)
    }
  })

  test('a leaning ray from 1.3 mm off the axis', () => {
    // 45 degrees to the shift of the start: check value 2.778043 + 2.05 at 90 degrees, lengthened by the lean.
    const lean = radians(25)
    const direction = [Math.cos(lean), 0, Math.sin(lean)] as const
    expect(truth([1, 3.3, 0], direction).distanceMm * Math.cos(lean)).toBeCloseTo(4.828043, 5)
  })
})
