import { describe, expect, test } from 'vitest'
import { type ExposedAreas, exposedAreas, fixtureProfile } from '../src/index.js'
import { type BoneAt, mapOf as mapFor, plate } from './closed-map.js'

// Radial maps in closed form, no voxels: what lies bare has a width, a height and an area that can be worked out.

const R = 2
const L = 10
const cylinder = fixtureProfile({ kind: 'cylinder', diameterMm: 2 * R, lengthMm: L })

const mapOf = (boneMm: BoneAt, profile = cylinder) => mapFor(boneMm, profile)

const total = ({ dehiscences, fenestrations }: ExposedAreas) =>
  [...dehiscences, ...fenestrations].reduce((sum, { areaMm2 }) => sum + areaMm2, 0)

const within = (value: number, truth: number, share: number) =>
  expect(Math.abs(value - truth), `${value} instead of ${truth}`).toBeLessThanOrEqual(share * Math.abs(truth))

describe('a flat plate parallel to the axis, nearer than the radius', () => {
  // The strip beyond the plate is 2 r acos(d / r) wide and as long as the fixture.
  for (const d of [0.2, 0.6, 1, 1.4, 1.7, 1.9])
    for (const towardsDeg of [0, 137])
      test(`${d} mm from the axis, towards ${towardsDeg} deg: width, height, area and middle within 2 %`, () => {
        const { dehiscences, fenestrations, dehiscenceMm, exposureOpen } = exposedAreas(
          mapOf(plate(() => d, towardsDeg)),
          cylinder,
        )
        const width = 2 * R * Math.acos(d / R)
        expect(fenestrations).toEqual([])
        expect(dehiscences).toHaveLength(1)
        const [strip] = dehiscences
        within(strip.widthMm, width, 0.02)
        within(strip.areaMm2, width * L, 0.02)
        expect(strip).toMatchObject({ fromMm: 0, toMm: L, heightMm: L, allRound: false, open: false })
        expect(Math.abs(strip.angleDeg - towardsDeg)).toBeLessThan(2.5)
        expect(dehiscenceMm).toBe(L)
        expect(exposureOpen).toBe(false)
      })

  test('as far as the radius or farther nothing lies bare', () => {
    for (const d of [2, 2.01, 5]) {
      const found = exposedAreas(mapOf(plate(() => d)), cylinder)
      expect(found.dehiscences).toEqual([])
      expect(found.dehiscenceMm).toBe(0)
      expect(total(found)).toBe(0)
    }
  })
})

/** The area within a plate whose distance from the axis changes by `slope` a mm: the integral of 2 r acos(d / r). */
function tiltedAreaMm2(fromMm: number, toMm: number, slope: number): number {
  const primitive = (d: number) => d * Math.acos(d / R) - Math.sqrt(R * R - d * d)
  return (2 * R * (primitive(toMm) - primitive(fromMm))) / slope
}

describe('a flat plate tilted to the axis', () => {
  // The ray at a depth z and an angle phi meets the plane n . p = D, n = (cos a, 0, -sin a), at
  // (D + z sin a) / (cos a cos phi); facially that is the radius at z = (r cos a - D) / sin a.
  for (const [deg, atPlatformMm] of [
    [5, 1.5],
    [10, 0.8],
    [15, 1.2],
    [20, 0.3],
  ]) {
    const a = (deg * Math.PI) / 180
    const distance = (z: number) => atPlatformMm + z * Math.tan(a)
    const heightMm = (R - atPlatformMm) / Math.tan(a)

    test(`by ${deg} deg, leaving the platform bare: the dehiscence is ${heightMm.toFixed(3)} mm high`, () => {
      const { dehiscences, fenestrations, dehiscenceMm } = exposedAreas(mapOf(plate(distance)), cylinder)
      expect(fenestrations).toEqual([])
      const [region] = dehiscences
      expect(region.heightMm).toBeCloseTo(heightMm, 6)
      expect(dehiscenceMm).toBe(region.toMm)
      expect(region.fromMm).toBe(0)
      within(region.widthMm, 2 * R * Math.acos(atPlatformMm / R), 0.02)
      within(region.areaMm2, tiltedAreaMm2(atPlatformMm, R, Math.tan(a)), 0.02)
      expect(region.angleDeg).toBe(0)
    })

    test(`by ${deg} deg the other way, leaving the apex bare: a fenestration of the same height and area`, () => {
      const found = exposedAreas(mapOf(plate((z) => distance(L - z))), cylinder)
      expect(found.dehiscences).toEqual([])
      expect(found.dehiscenceMm).toBe(0)
      const [region] = found.fenestrations
      expect(region.toMm).toBe(L)
      expect(region.fromMm).toBeCloseTo(L - heightMm, 6)
      expect(region.heightMm).toBeCloseTo(heightMm, 6)
      within(region.areaMm2, tiltedAreaMm2(atPlatformMm, R, Math.tan(a)), 0.02)
      expect(found.fenestrationMm2).toBe(region.areaMm2)
    })
  }
})

/** Bone that falls short of the surface within an ellipse of half axes `widthMm` (arc) and `heightMm` about a place. */
const hole =
  (depthMm: number, angleDeg: number, heightMm: number, widthMm: number) => (z: number, a: number) => {
    const turn = ((a - angleDeg + 540) % 360) - 180
    return R + 0.5 * (((z - depthMm) / heightMm) ** 2 + ((turn * Math.PI * R) / 180 / widthMm) ** 2 - 1)
  }
const both =
  (...fields: ((z: number, a: number) => number)[]) =>
  (z: number, a: number) =>
    Math.min(5, ...fields.map((field) => field(z, a)))

describe('an elliptic hole', () => {
  for (const angleDeg of [0, 90.7, 182, 359])
    test(`about ${angleDeg} deg: area pi a b, place and extent within 2 %`, () => {
      const { fenestrations, dehiscences, fenestrationMm2 } = exposedAreas(
        mapOf(both(hole(6.1, angleDeg, 1.5, 1.1))),
        cylinder,
      )
      expect(dehiscences).toEqual([])
      const [region] = fenestrations
      within(region.areaMm2, Math.PI * 1.5 * 1.1, 0.02)
      within(region.widthMm, 2.2, 0.02)
      within(region.heightMm, 3, 0.02)
      expect(Math.abs(region.fromMm - 4.6)).toBeLessThan(0.03)
      expect(Math.abs(region.toMm - 7.6)).toBeLessThan(0.03)
      expect(Math.abs(((region.angleDeg - angleDeg + 540) % 360) - 180)).toBeLessThan(2.5)
      expect(fenestrationMm2).toBe(region.areaMm2)
    })

  test('several are listed apart, the largest first, across the seam of the map too', () => {
    const field = both(hole(7, 0, 1, 1), hole(4, 120, 1.5, 1.2), hole(0, 240, 2, 1.5), hole(5, 300, 0.8, 0.6))
    const { dehiscences, fenestrations, dehiscenceMm, fenestrationMm2 } = exposedAreas(mapOf(field), cylinder)
    expect(fenestrations.map(({ angleDeg }) => Math.round(angleDeg / 10) * 10)).toEqual([120, 0, 300])
    expect(dehiscences).toHaveLength(1)
    within(dehiscences[0].areaMm2, (Math.PI * 2 * 1.5) / 2, 0.02)
    expect(Math.abs(dehiscenceMm - 2)).toBeLessThan(0.03)
    within(fenestrationMm2, Math.PI * (1.8 + 1 + 0.48), 0.02)
  })

  test('two regions that touch at a corner only stay two', () => {
    const bare = (z: number, a: number) =>
      (z === 2.5 && a === 40) || (z === 2.75 && a === 45) ? R - 0.1 : R + 0.1
    const { fenestrations } = exposedAreas(mapOf(bare), cylinder)
    expect(fenestrations).toHaveLength(2)
    // Every crossing lies half way: a rhombus of half a cell each.
    const cell = (0.25 * 2 * Math.PI * R) / 72
    for (const { areaMm2 } of fenestrations) expect(areaMm2).toBeCloseTo(cell / 2, 9)
  })
})

describe('where rays have no number', () => {
  test('an axis outside bone down to a depth: all round, to half way below the last such row', () => {
    const found = exposedAreas(
      mapOf((z) => (z <= 3 ? 'axis-outside' : 4)),
      cylinder,
    )
    const [region] = found.dehiscences
    expect(region).toMatchObject({ fromMm: 0, toMm: 3.125, allRound: true, angleDeg: 0 })
    expect(region.widthMm).toBeCloseTo(2 * Math.PI * R, 9)
    expect(region.areaMm2).toBeCloseTo(2 * Math.PI * R * 3.125, 9)
  })

  test('no data beside a bare place leaves it open; data missing elsewhere does not', () => {
    const strip = plate(() => 1)
    const beside = exposedAreas(
      mapOf((z, a) => (z > 4 && z < 5 ? 'no-data' : strip(z, a))),
      cylinder,
    )
    expect(beside.exposureOpen).toBe(true)
    expect(beside.dehiscences.map(({ open }) => open)).toEqual([true])
    expect(beside.fenestrations.map(({ open }) => open)).toEqual([true])
    const away = exposedAreas(
      mapOf((z, a) => (Math.abs(a - 180) < 30 ? 'no-data' : strip(z, a))),
      cylinder,
    )
    expect(away.exposureOpen).toBe(false)
    expect(away.dehiscences).toHaveLength(1)
  })

  test('the side that is known leaves out the cells without data, and only those', () => {
    const side = 2 * Math.PI * R * L
    const none = exposedAreas(
      mapOf(() => 'no-data'),
      cylinder,
    )
    expect(none.knownMm2).toBe(0)
    const half = exposedAreas(
      mapOf((_, a) => (a < 180 ? 'no-data' : 3)),
      cylinder,
    )
    expect(half.knownMm2).toBeCloseTo(side / 2, 9)
  })
})

describe('the side of a fixture is integrated exactly', () => {
  // Cylinder 2 pi r L; cone frustum pi (r0 + r1) sqrt(L^2 + (r0 - r1)^2): any textbook of geometry.
  for (const [name, profile, side] of [
    ['cylinder', cylinder, 2 * Math.PI * R * L],
    [
      'cone',
      fixtureProfile({ kind: 'tapered', diameterMm: 4.2, apexDiameterMm: 2.6, lengthMm: 11 }),
      Math.PI * (2.1 + 1.3) * Math.hypot(11, 0.8),
    ],
    [
      'neck and cone, the break between two rows',
      fixtureProfile({
        kind: 'profile',
        points: [
          [0, 2.4],
          [1.13, 2],
          [10, 1.2],
        ],
      }),
      Math.PI * (4.4 * Math.hypot(1.13, 0.4) + 3.2 * Math.hypot(8.87, 0.8)),
    ],
  ] as const)
    test(`${name}: covered, bare, and no number anywhere`, () => {
      expect(
        exposedAreas(
          mapOf(() => 3, profile),
          profile,
        ).knownMm2,
      ).toBeCloseTo(side, 9)
      expect(
        exposedAreas(
          mapOf(() => 'no-surface', profile),
          profile,
        ).knownMm2,
      ).toBeCloseTo(side, 9)
      expect(
        total(
          exposedAreas(
            mapOf(() => 0.5, profile),
            profile,
          ),
        ),
      ).toBeCloseTo(side, 9)
      expect(
        total(
          exposedAreas(
            mapOf(() => 'axis-outside', profile),
            profile,
          ),
        ),
      ).toBeCloseTo(side, 9)
    })
})
