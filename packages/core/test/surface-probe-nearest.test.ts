import { describe, expect, test } from 'vitest'
import { type ProbedSurface, surfaceProbe } from '../src/bone/index.js'
import {
  axisPoint,
  type FixtureFrame,
  type FixtureProfile,
  fixtureFrame,
  fixtureProfile,
  surfaceGrid,
  surfacePoint,
} from '../src/fixture/index.js'
import { type DistanceAt, fieldOf, lot, quarters, readField, someFrame } from './probe-field.js'

const cylinder = (diameterMm: number, lengthMm = 10) =>
  fixtureProfile({ kind: 'cylinder', diameterMm, lengthMm })
const tapered = fixtureProfile({ kind: 'tapered', diameterMm: 4.1, apexDiameterMm: 3, lengthMm: 10 })
const upright = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])

const probeOf = (surface: ProbedSurface, profile: FixtureProfile) => {
  const grid = surfaceGrid(profile)
  return surfaceProbe(surface, profile, grid, quarters(grid))
}

const nearestIn = (body: DistanceAt, profile: FixtureProfile, frame: FixtureFrame = upright) =>
  probeOf(fieldOf(body, { stepMm: 0.2 }), profile).measure(frame, null).nearestMm

describe('closed forms', () => {
  test('a leaning plate is nearest along its normal, at the apex', () => {
    const a = Math.PI / 12
    const [c, s] = [Math.cos(a), Math.sin(a)]
    const mm = nearestIn((x, _, z) => 4.8 - c * x - s * z, cylinder(3.6, 12))
    expect(mm).toBeCloseTo(4.8 - c * 1.8 - s * 12, 5)
  })

  // From a centre 1.3 mm off the axis of a cylinder of bone of 5 mm: 5 - 1.3 - r.
  test('eccentric in a cylinder of bone', () => {
    const mm = nearestIn((x, y) => 5 - Math.hypot(x + 1.3, y), cylinder(4.1))
    expect(Math.abs(mm - 1.65)).toBeLessThan(0.004)
  })

  test('a ball of void beside the fixture', () => {
    const mm = nearestIn((x, y, z) => Math.hypot(x - 4, y - 1, z - 5.1) - 1.2, cylinder(4))
    // From the nearest cell of the side: 5 degrees and 0.25 mm apart.
    expect(Math.abs(mm - (Math.hypot(4, 1) - 2 - 1.2))).toBeLessThan(0.02)
  })

  test('a fixture that sticks out: as far as that, negative', () => {
    expect(nearestIn((x) => 1.4 - x, cylinder(4))).toBeCloseTo(-0.6, 5)
  })

  test('the top of the crest is no outside beside the fixture, its sides are', () => {
    // Level with the platform, buried by 0.8 mm, or 1.5 mm below the platform: the plate 1.2 mm beside the fixture counts.
    for (const crestMm of [0, -0.8, 1.5]) {
      const body: DistanceAt = (x, _, z) => Math.min(3.2 - x, 9 + x, z - crestMm)
      const mm = nearestIn(body, cylinder(4))
      if (crestMm <= 0) expect(mm).toBeCloseTo(1.2, 5)
      else expect(mm).toBeCloseTo(-1.5, 5)
    }
  })

  test('a plate that runs out to the crest counts by its own slope', () => {
    const [c, s] = [Math.cos(0.3), Math.sin(0.3)]
    // 2.8 mm from the axis at the platform, leaning outwards further down.
    const mm = nearestIn((x, _, z) => Math.min(c * (2.8 - x) + s * z, z + 0.9), cylinder(4))
    // The cell at the platform's rim; its foot lies s * 0.8 * c mm higher, below the crest.
    expect(mm).toBeCloseTo(0.8 * c, 5)
  })

  test('the end of data is no outside', () => {
    const surface = fieldOf((x) => Math.min(2.6 - x, 3.7 + x), { unscanned: (x) => x > 2.6 })
    const found = probeOf(surface, cylinder(4)).measure(upright, null)
    expect(found.nearestMm).toBeCloseTo(1.7, 5)
    expect(found.openShare).toBeGreaterThan(0)
  })
})

describe('against all cells of the side', () => {
  const bodies: Record<string, DistanceAt> = {
    ridge: (x, y, z) =>
      Math.min(3.4 + 0.2 * Math.sin(0.5 * z) - 0.03 * y * y - x, 4.5 + 0.15 * z + x, z + 4) / 1.02,
    voids: (x, y, z) =>
      Math.min(
        3 - x,
        5 + x,
        Math.hypot(x - 2.8, y - 1.7, z - 4) - 0.9,
        Math.hypot(x + 3.2, y + 2, z - 8) - 0.5,
        z + 4,
      ),
  }
  for (const [name, body] of Object.entries(bodies))
    test(`${name}: the least field, or the least ray, at 200 poses`, () => {
      const surface = fieldOf(body)
      const probe = probeOf(surface, tapered)
      const grid = surfaceGrid(tapered)
      const draw = lot(17)
      for (let n = 0; n < 200; n++) {
        const frame = someFrame(draw, 0.9, 0.25)
        const { nearestMm, radialMm } = probe.measure(frame, null)
        let least = Number.POSITIVE_INFINITY
        for (const depthMm of grid.depthsMm)
          for (const angle of grid.anglesDeg)
            least = Math.min(least, readField(surface, surfacePoint(frame, tapered, depthMm, angle)))
        // The crest lies 3 mm and more above the platform: nothing but the field decides.
        expect(readField(surface, axisPoint(frame, -2))).toBeGreaterThan(0)
        // Bone that ends within the fixture and begins again is told by the rays alone.
        expect(nearestMm).toBeCloseTo(least < 0 ? least : Math.min(least, radialMm), 9)
      }
    })
})
