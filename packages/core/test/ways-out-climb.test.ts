import { describe, expect, test } from 'vitest'
import { climb, type Found, type Hill } from '../src/explore/way-climb.js'
import { linearGreatest } from '../src/explore/way-linear.js'
import { leastKept, standing } from '../src/explore/way-standing.js'
import { seeded } from './random-meshes.js'

function top(hill: Hill, start: readonly number[]): Found {
  const steps = climb(hill, start)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

const product = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, n) => sum + v * b[n], 0)

describe('a small linear program', () => {
  test('worked example (Dantzig 1963, section 5-2 in form): 3 a + 5 b with a <= 4, 2 b <= 12, 3 a + 2 b <= 18', () => {
    const y = linearGreatest(
      [3, 5],
      [
        [1, 0],
        [0, 2],
        [3, 2],
      ],
      [4, 12, 18],
    )
    expect(y[0]).toBeCloseTo(2, 12)
    expect(y[1]).toBeCloseTo(6, 12)
  })

  test('Beale 1955: the largest gain first goes round in circles here; 1/20 is reached all the same', () => {
    const cost = [3 / 4, -150, 1 / 50, -6]
    const y = linearGreatest(
      cost,
      [
        [1 / 4, -60, -1 / 25, 9],
        [1 / 2, -90, -1 / 50, 3],
        [0, 0, 1, 0],
      ],
      [0, 0, 1],
    )
    expect(product(cost, y)).toBeCloseTo(1 / 20, 12)
  })

  test('the best corner of strewn polygons, found by trying all of them', () => {
    const next = seeded(31)
    for (let n = 0; n < 200; n++) {
      const cost = [2 * next() - 0.5, 2 * next() - 0.5]
      const rows = [...Array.from({ length: 6 }, () => [2 * next() - 1, 2 * next() - 1]), [1, 0], [0, 1]]
      const bounds = [...Array.from({ length: 6 }, () => next()), 2, 2]
      expect(product(cost, linearGreatest(cost, rows, bounds))).toBeCloseTo(bestCorner(cost, rows, bounds), 9)
    }
  })

  test('a bound below 0 is refused', () => {
    expect(() => linearGreatest([1], [[1]], [-1])).toThrow('bound 0 is -1')
  })
})

function bestCorner(cost: number[], rows: number[][], bounds: number[]): number {
  const lines = [...rows, [-1, 0], [0, -1]]
  const at = [...bounds, 0, 0]
  let best = Number.NEGATIVE_INFINITY
  for (const [i, a] of lines.entries())
    for (const [j, b] of lines.entries()) {
      const size = a[0] * b[1] - a[1] * b[0]
      if (Math.abs(size) < 1e-12) continue
      const corner = [(at[i] * b[1] - at[j] * a[1]) / size, (a[0] * at[j] - b[0] * at[i]) / size]
      if (lines.every((line, n) => product(line, corner) <= at[n] + 1e-9))
        best = Math.max(best, product(cost, corner))
    }
  return best
}

describe('climbs in five directions', () => {
  const low = [-4, -2, 3, -7, -3]
  const high = [4, 2, 4, 7, 3]
  const inside = (next: () => number) => low.map((from, n) => from + (high[n] - from) * (0.1 + 0.8 * next()))

  test('a summit where six planes meet: slopes that add up to nothing make it the only one', () => {
    for (let seed = 0; seed < 20; seed++) {
      const next = seeded(500 + seed)
      const summit = inside(next)
      const slopes = Array.from({ length: 5 }, () => low.map(() => 2 * next() - 1))
      const last = low.map((_, n) => -slopes.reduce((sum, slope) => sum + slope[n], 0))
      const pieces = (place: readonly number[]) =>
        [...slopes, last].map((slope) => product(slope, place) - product(slope, summit))
      const found = top({ low, high, look: (place) => standing(pieces(place), []) }, inside(next))
      expect(found.standing.goal, `seed ${seed}`).toBeGreaterThan(-0.02)
      expect(found.standing.goal).toBeLessThanOrEqual(0)
    }
  })

  test('along a curved ridge: a sharp fold round a cylinder, the gain along it a tenth of the loss beside it', () => {
    // On hypot(x - 6, y) = 7 from y = -1 on x grows only with y, which ends at 2.
    const fold = (place: readonly number[]) => Math.hypot(place[0] - 6, place[3]) - 7
    const pieces = (place: readonly number[]) => [0.1 * place[0] - Math.abs(fold(place))]
    const most = 6 - Math.sqrt(49 - 4)
    const found = top(
      { low, high: [4, 2, 4, 2, 3], look: (place) => standing(pieces(place), []) },
      [-3, 0, 3.5, -1, 0],
    )
    expect(found.standing.goal).toBeGreaterThan(0.1 * most - 0.02)
    expect(found.standing.goal).toBeLessThanOrEqual(0.1 * most)
  })

  test('what is kept: the greatest of x + y under a ball is at (1, 1, 0, 0, 0) sqrt(1/2)', () => {
    const ball = (place: readonly number[]) =>
      1 - Math.hypot(place[0], place[1], place[2] - 3.5, place[3], place[4])
    const look = (place: readonly number[]) => standing([place[0] + place[1]], [ball(place)])
    const found = top({ low, high, look }, [3, -1, 3.2, 3, 2])
    expect(found.standing.goal).toBeGreaterThan(Math.SQRT2 - 0.005)
    expect(leastKept(found.standing)).toBeGreaterThanOrEqual(0)
  })

  test('what cannot be kept comes back as near as it can be', () => {
    const look = (place: readonly number[]) => standing([place[1]], [place[0] - 5, 1 - place[1]])
    const found = top({ low, high, look }, [0, 0, 3.5, 0, 0])
    expect(leastKept(found.standing)).toBeCloseTo(-1, 2)
  })

  test('a dear limit: what gains fifty times what it breaks is still kept', () => {
    const look = (place: readonly number[]) => standing([50 * place[0]], [1 - place[0] - 0.1 * place[3] ** 2])
    const found = top({ low, high, look }, [0, 0, 3.5, 1, 0])
    expect(leastKept(found.standing)).toBeGreaterThanOrEqual(0)
    expect(found.place[0]).toBeCloseTo(1, 2)
  })
})
