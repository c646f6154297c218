import { describe, expect, test } from 'vitest'
import { standardNormals } from '../src/explore/draws.js'
import { seededBits, xoshiro128 } from '../src/explore/draws-generator.js'
import { normalQuantile } from '../src/explore/draws-normal.js'
import { freehandError, guidedError, ownError } from '../src/explore/index.js'
import type { PlacementError } from '../src/explore/miss-cloud-result.js'
import { checkPlacementError } from '../src/explore/placement-error.js'
import { misplacing, NORMALS_OF_A_POSE } from '../src/explore/placement-error-pose.js'
import { along, angleDeg, distance, dot, length } from '../src/space/index.js'
import { uprightPlan } from './plan-fixture.js'

const DRAWS = 100_000

describe('random numbers', () => {
  test('xoshiro128** gives the numbers of its reference', () => {
    // The authors' xoshiro128starstar.c 1.1 from the state 1, 2, 3, 4.
    const bits = xoshiro128([1, 2, 3, 4])
    expect(Array.from({ length: 10 }, bits)).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ])
  })

  test('a state of noughts is refused, and so is a seed that is none', () => {
    expect(() => xoshiro128([0, 0, 0, 0])).toThrow(RangeError)
    for (const seed of [-1, 0.5, 2 ** 32, Number.NaN]) expect(() => seededBits(seed)).toThrow('seed must be')
  })

  test('normal quantiles are those of the tables', () => {
    // 0.25, 0.001 and 1e-20: the checks that Wichura printed with the algorithm (1988, Appl Stat 37:477).
    expect(normalQuantile(0.5)).toBe(0)
    expect(normalQuantile(0.25)).toBeCloseTo(-0.6744897501960817, 15)
    expect(normalQuantile(0.001)).toBeCloseTo(-3.090232306167814, 14)
    expect(normalQuantile(1e-20)).toBeCloseTo(-9.26234008979841, 13)
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 14)
  })

  test('normals have the moments and tails of a normal, and do not hang together', () => {
    const normals = standardNormals(7, DRAWS)
    const mean = (of: (z: number, n: number) => number) =>
      normals.reduce((sum, z, n) => sum + of(z, n), 0) / DRAWS
    const se = 1 / Math.sqrt(DRAWS)
    expect(Math.abs(mean((z) => z))).toBeLessThan(3 * se)
    expect(Math.abs(mean((z) => z * z) - 1)).toBeLessThan(3 * Math.sqrt(2) * se)
    expect(Math.abs(mean((z) => z ** 3))).toBeLessThan(3 * Math.sqrt(15) * se)
    expect(Math.abs(mean((z) => z ** 4) - 3)).toBeLessThan(3 * Math.sqrt(96) * se)
    expect(Math.abs(mean((z) => (z < -1.6448536 ? 1 : 0)) - 0.05)).toBeLessThan(3 * Math.sqrt(0.0475) * se)
    for (const lag of [1, 2, 5, 6])
      expect(Math.abs(mean((z, n) => z * normals[(n + lag) % DRAWS]))).toBeLessThan(3 * se)
  })

  test('fewer normals are the first of more', () => {
    expect(standardNormals(3, 10)).toEqual(standardNormals(3, 1000).slice(0, 10))
    expect(standardNormals(3, 10)).not.toEqual(standardNormals(4, 10))
  })
})

interface Missed {
  readonly entryMm: Float64Array
  readonly apexMm: Float64Array
  readonly angleDeg: Float64Array
}

/** What placements of an upright fixture miss by. */
function missedBy(error: PlacementError, lengthMm: number, seed = 11): Missed {
  const plan = uprightPlan()
  const misplace = misplacing(plan, error)
  const normals = standardNormals(seed, DRAWS * NORMALS_OF_A_POSE)
  const poses = Array.from({ length: DRAWS }, (_, draw) => misplace(normals, draw * NORMALS_OF_A_POSE))
  return {
    entryMm: Float64Array.from(poses, ({ platform }) => length(platform)),
    apexMm: Float64Array.from(poses, ({ platform, apical }) =>
      distance(along(platform, apical, lengthMm), [0, 0, lengthMm]),
    ),
    angleDeg: Float64Array.from(poses, ({ apical }) => angleDeg(apical, [0, 0, 1])),
  }
}

const meanOf = (values: Float64Array): number => values.reduce((sum, v) => sum + v, 0) / values.length
const percentile = (values: Float64Array, share: number): number =>
  values.slice().sort()[Math.floor(share * values.length)]

describe('one rigid motion a placement', () => {
  test('guided: entry as Maxwell, angle as Rayleigh, with the published means', () => {
    const { entryMm, angleDeg: angles } = missedBy(guidedError(), 10)
    const root = Math.sqrt(DRAWS)
    // Clinical reference, section 7: means 1.2 mm and 3.5 degrees, 95th percentiles 2.10 mm and 6.84 degrees, CV 0.42
    // and 0.523.
    expect(Math.abs(meanOf(entryMm) - 1.5958 * 0.752)).toBeLessThan((3 * 0.422 * 1.2) / root)
    expect(meanOf(entryMm)).toBeCloseTo(1.2, 2)
    expect(Math.abs(meanOf(angles) - 1.2533 * 2.79)).toBeLessThan((3 * 0.523 * 3.5) / root)
    expect(Math.abs(percentile(entryMm, 0.95) - 2.1)).toBeLessThan(0.02)
    expect(Math.abs(percentile(angles, 0.95) - 6.84)).toBeLessThan(0.07)
  })

  test('guided: the apex of a fixture 10 to 11 mm long misses by the published 1.4 mm on average', () => {
    // Tahmaseb 2018, COIR 29(Suppl 16):416: apex 1.4 mm (1.28 to 1.58).
    for (const lengthMm of [10, 10.5, 11])
      expect(Math.abs(meanOf(missedBy(guidedError(), lengthMm).apexMm) - 1.4)).toBeLessThan(0.05)
  })

  test('guided, single teeth: a correlation of 0.5 makes the apex miss by what was published', () => {
    // Kaewsiri 2019, COIR: 0.97 mm at entry, 2.84 degrees, 1.28 mm at the apex.
    const error = (correlation: number) => ownError({ entryMeanMm: 0.97, angleMeanDeg: 2.84, correlation })
    expect(Math.abs(meanOf(missedBy(error(0.5), 10.5).apexMm) - 1.28)).toBeLessThan(0.03)
    expect(meanOf(missedBy(error(0), 10.5).apexMm)).toBeLessThan(1.15)
  })

  test('freehand: entry 1.62 mm and 8.7 degrees as published', () => {
    // Schnutenhaus 2021, Dent J 9:54: 3D 1.62 mm. Half normals along three axes with those means make it 1.69.
    const { entryMm, angleDeg: angles } = missedBy(freehandError(), 10)
    expect(Math.abs(meanOf(entryMm) - 1.62)).toBeLessThan(0.07)
    expect(Math.abs(meanOf(angles) - 8.7)).toBeLessThan(0.05)
  })

  test('freehand elsewhere: without a correlation the apex misses by what was published', () => {
    // 112 placements by eye, J Prosthodont 2019 28:511: 1.22 mm at entry, 7.93 degrees, 1.91 mm at the apex.
    const error = ownError({ entryMeanMm: 1.22, angleMeanDeg: 7.93 })
    for (const lengthMm of [10, 11])
      expect(Math.abs(meanOf(missedBy(error, lengthMm).apexMm) - 1.91)).toBeLessThan(0.08)
  })

  test('tilt alone sways the apex by the length times the sine', () => {
    const error = ownError({ entrySdMm: 0, angleMeanDeg: 3.5 })
    const { apexMm, entryMm, angleDeg: angles } = missedBy(error, 10)
    expect(Math.max(...entryMm.subarray(0, 1000))).toBe(0)
    for (let n = 0; n < 1000; n++)
      expect(apexMm[n]).toBeCloseTo(2 * 10 * Math.sin((angles[n] * Math.PI) / 360), 9)
    // Clinical reference 12.4: 10 mm at 3.5 degrees: 0.61 mm.
    const plan = uprightPlan()
    const { apical } = misplacing(plan, ownError({ entrySdMm: 0, tiltSdDeg: 3.5 }))(
      Float64Array.from([0, 0, 0, 1, 0]),
      0,
    )
    expect(10 * apical[0]).toBeCloseTo(0.61, 2)
    expect(apical[1]).toBeCloseTo(0, 12)
  })

  test('the facial, mesial and apical errors lie along the fixture, mesial to the side of the tooth', () => {
    const error: PlacementError = {
      ...freehandError(),
      entrySdMm: { facial: 1, mesial: 2, apical: 3 },
      tiltSdDeg: 5,
    }
    const at = (tooth: string) =>
      misplacing(uprightPlan({ site: { tooth, facial: [1, 0, 0], coronal: [0, 0, -1] } }), error)
    const one = Float64Array.from([1, 1, 1, 0, 1])
    // +y is mesial in quadrants 1 and 3, distal in 2 and 4.
    for (const [tooth, side] of [
      ['11', 1],
      ['21', -1],
      ['36', 1],
      ['46', -1],
    ] as const) {
      const { platform, apical } = at(tooth)(one, 0)
      expect(platform).toEqual([1, 2 * side, 3])
      expect(apical[1]).toBeCloseTo(side * Math.sin((5 * Math.PI) / 180), 12)
      expect(length(apical)).toBeCloseTo(1, 12)
      expect(at(tooth)(one, 0, 0)).toEqual({ platform: [0, 0, 0], apical: [0, 0, 1] })
    }
  })

  test('a correlation of 1 carries the apex where the entry goes, of -1 back again', () => {
    const tiltOf = (correlation: number) => {
      const { apical } = misplacing(uprightPlan(), ownError({ entrySdMm: 1, tiltSdDeg: 4, correlation }))(
        Float64Array.from([1, 0, 0, 0.3, 0.7]),
        0,
      )
      return (Math.asin(dot(apical, [1, 0, 0])) * 180) / Math.PI
    }
    expect(tiltOf(1)).toBeCloseTo(4, 9)
    expect(tiltOf(-1)).toBeCloseTo(-4, 9)
  })

  test('figures that are no error are refused by name', () => {
    expect(() => ownError({ entryMeanMm: -1, angleMeanDeg: 1 })).toThrow('entrySdMm.facial')
    expect(() => ownError({ entryMeanMm: 1, angleMeanDeg: Number.NaN })).toThrow('tiltSdDeg')
    expect(() => ownError({ entryMeanMm: 1, angleMeanDeg: 1, correlation: 1.1 })).toThrow('correlation')
    expect(() => checkPlacementError({ ...guidedError(), tiltSdDeg: 60 })).toThrow('tiltSdDeg')
  })
})
