import { describe, expect, test } from 'vitest'
import {
  type ProbedSurface,
  RAY_AXIS_OUTSIDE,
  RAY_ENDS,
  RAY_NO_DATA,
  type RayState,
  surfaceProbe,
} from '../src/bone/index.js'
import {
  type FixtureFrame,
  type FixtureProfile,
  fixtureFrame,
  fixtureProfile,
  surfaceGrid,
} from '../src/fixture/index.js'
import { type DeficitGraft, graftField, graftSize, QuickVolume, quickGraftGrid } from '../src/graft/index.js'
import { mapOf, marginOf } from './closed-map.js'
import { deficit, segmentMm2, site } from './graft-cases.js'
import { type DistanceAt, fieldOf, lot, quarters, someFrame } from './probe-field.js'

const cylinder = (radiusMm: number, lengthMm: number) =>
  fixtureProfile({ kind: 'cylinder', diameterMm: 2 * radiusMm, lengthMm })
const tapered = fixtureProfile({ kind: 'tapered', diameterMm: 4.1, apexDiameterMm: 3, lengthMm: 10 })
const upright = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])

function probed(
  surface: ProbedSurface,
  profile: FixtureProfile,
  spec: DeficitGraft,
  grid = surfaceGrid(profile),
) {
  const probe = surfaceProbe(surface, profile, grid, quarters(grid))
  const quick = new QuickVolume(probe.rays, spec)
  return (frame: FixtureFrame) => {
    probe.follow(frame, quick.askedMm)
    return quick.volumeMm3()
  }
}

const volumeIn = (
  body: DistanceAt,
  profile: FixtureProfile,
  spec: DeficitGraft,
  options: Parameters<typeof fieldOf>[1] = {},
) => probed(fieldOf(body, options), profile, spec)(upright)

/** The same by the graft's field, on all rays of the probe; what lies farther out it does not know. */
function sizeByField(
  surface: ProbedSurface,
  frame: FixtureFrame,
  profile: FixtureProfile,
  spec: DeficitGraft,
) {
  const grid = surfaceGrid(profile)
  const probe = surfaceProbe(surface, profile, grid, quarters(grid))
  probe.measure(frame, new Float64Array(grid.anglesDeg.length).fill(20))
  const { states, endMm } = probe.rays
  let n = 0
  const found = (): number | RayState => {
    const at = n++
    if (states[at] === RAY_ENDS) return endMm[at]
    return states[at] === RAY_AXIS_OUTSIDE
      ? 'axis-outside'
      : states[at] === RAY_NO_DATA
        ? 'no-data'
        : 'no-surface'
  }
  const margin = marginOf(mapOf(found, profile), profile)
  const field = graftField({ margin, frame, profile, site, spec })
  return field === null ? 0 : graftSize(field, profile).volumeMm3
}

const within = (share: number, value: number, wanted: number) =>
  expect(Math.abs(value / wanted - 1), `${value} for ${wanted}`).toBeLessThan(share)

// Table of A = R^2 acos(d/R) - d sqrt(R^2 - d^2), times the length: clinical reference sheet, section 12.8.
describe('bone that ends in a flat face beside the fixture: segments of a circle', () => {
  for (const [r, m, d, lengthMm, volume] of [
    [2, 2, 3, 8, 29.0],
    [2, 1.5, 2, 10, 60.5],
    [1.75, 2, 1.75, 10, 94.6],
    [2, 1, 2.5, 10, 11.3],
  ])
    test(`r ${r}, m ${m}, d ${d}: ${volume} mm3`, () => {
      const mm3 = volumeIn((x) => d - x, cylinder(r, lengthMm), deficit(m))
      within(0.0025, mm3, segmentMm2(r + m, d) * lengthMm)
      within(0.01, mm3, volume)
    })

  test('a face that cuts the fixture: its own segment is left out', () => {
    const mm3 = volumeIn((x) => 1.2 - x, cylinder(2, 10), deficit(1.5))
    within(0.0025, mm3, (segmentMm2(3.5, 1.2) - segmentMm2(2, 1.2)) * 10)
  })

  test('nothing where the margin is met', () => {
    for (const m of [0.3, 0.99]) expect(volumeIn((x) => 3 - x, cylinder(2, 10), deficit(m))).toBe(0)
  })

  test('no bone at all: a sleeve round the fixture', () => {
    within(
      0.0025,
      volumeIn(() => -9, cylinder(2, 10), deficit(1)),
      Math.PI * (9 - 4) * 10,
    )
  })
})

/** What a ray in the middle of the flat face 3 mm from the axis stands for, with 2 mm wanted: 5 degrees, mm3. */
const RAY_MM3 = ((16 - 9) / 2) * 10 * ((5 * Math.PI) / 180)

describe('what stands in the way', () => {
  test('bone farther out: a gap is filled up to it, nothing is laid onto its far side', () => {
    const gap: DistanceAt = (x) => Math.max(2.4 - x, x - 3)
    const mm3 = volumeIn(gap, cylinder(2, 10), deficit(2))
    within(0.01, mm3, (segmentMm2(4, 2.4) - segmentMm2(4, 3)) * 10)
  })

  test('the fixture stands in a gap: graft up to bone on both sides', () => {
    const socket: DistanceAt = (x, y) => Math.hypot(x, y) - 2.5
    // Between nodes the circle's distance is told too small by some hundredths of a step, its chords by 0.1 %.
    within(0.01, volumeIn(socket, cylinder(2, 10), deficit(2)), Math.PI * (2.5 ** 2 - 4) * 10)
  })

  test('nothing is grafted where data ends, up to its edge', () => {
    const whole = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2))
    const half = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2), {
      unscanned: (x, y) => x > 3.1 && y > 0,
    })
    expect(Math.abs(half - whole / 2)).toBeLessThan(RAY_MM3 / 2)
  })

  test('nothing on rays that run through what is as hard as enamel, or dentine', () => {
    const whole = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2))
    for (const hard of [90, 75]) {
      const half = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2), {
        hardness: (x, y) => (y > 0 && x > 0 && x < 3 ? hard : 50),
      })
      expect(Math.abs(half - whole / 2)).toBeLessThan(RAY_MM3 / 2)
    }
    const plate = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2), { hardness: (x) => (x > 1 ? 64 : 30) })
    expect(plate).toBeCloseTo(whole, 9)
  })

  test('a mask ends a graft and bears none', () => {
    const whole = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2))
    const masks = [{ fromMm: [3.8, 0, -5], toMm: [3.8, 0, 20], radiusMm: 0.6 }] as const
    const less = volumeIn((x) => 3 - x, cylinder(2, 10), deficit(2), { masks })
    // Behind its near side, as far as it is wide seen from the axis, the graft is missing.
    const edge = Math.asin(0.6 / 3.8)
    let missing = 0
    for (let a = -edge; a < edge; a += 1e-4)
      missing += 0.5e-4 * 10 * (16 - (3.8 * Math.cos(a) - Math.sqrt(0.36 - (3.8 * Math.sin(a)) ** 2)) ** 2)
    expect(Math.abs(whole - less - missing)).toBeLessThan(RAY_MM3 / 2)
  })
})

describe('against the field of the graft on the same rays', () => {
  const bodies: Record<string, DistanceAt> = {
    wavy: (x, y, z) => Math.min(2.9 + 0.4 * Math.sin(z) + 0.2 * Math.cos(2 * y) - x, 3 + x, z + 3),
    crest: (x, _, z) => Math.min(2.8 - x, 4 + x, 0.6 * (z - 2.5) + 0.8 * (3 - x)),
    narrow: (x, y, z) => Math.min(2.4 + 0.05 * z - x, 2.2 + 0.1 * z + x, 5 - y, 5 + y),
  }
  const spec = deficit(1, { facialMm: 2 })
  for (const [name, body] of Object.entries(bodies))
    test(`${name}: 40 poses`, () => {
      const surface = fieldOf(body)
      const volumeAt = probed(surface, tapered, spec)
      const draw = lot(5)
      let greatest = 0
      for (let n = 0; n < 40; n++) {
        const frame = someFrame(draw, 0.8, 0.25)
        const wanted = sizeByField(surface, frame, tapered, spec)
        greatest = Math.max(greatest, wanted)
        expect(Math.abs(volumeAt(frame) - wanted)).toBeLessThan(Math.max(1e-6, 0.01 * wanted))
      }
      expect(greatest).toBeGreaterThan(20)
    })

  test('rays at fewer depths and angles: within 1 %, or 0.3 mm3', () => {
    const draw = lot(13)
    const grid = quickGraftGrid(tapered)
    for (const body of Object.values(bodies)) {
      const surface = fieldOf(body)
      const volumeAt = probed(surface, tapered, spec)
      const fewAt = probed(surface, tapered, spec, grid)
      for (let n = 0; n < 40; n++) {
        const frame = someFrame(draw, 0.8, 0.25)
        const mm3 = volumeAt(frame)
        expect(Math.abs(fewAt(frame) - mm3)).toBeLessThan(Math.max(0.3, 0.01 * mm3))
      }
    }
  })

  test('the same pose has the same volume, whatever was measured before', () => {
    const volumeAt = probed(fieldOf(bodies.wavy), tapered, spec)
    const draw = lot(9)
    const frames = Array.from({ length: 20 }, () => someFrame(draw))
    const once = frames.map(volumeAt)
    expect([...frames].reverse().map(volumeAt).reverse()).toEqual(once)
  })

  test('a contour, a loss or another depth is not what it reckons', () => {
    const surface = fieldOf((x) => 3 - x)
    expect(() => probed(surface, tapered, deficit(1, { natural: true }))).toThrow(RangeError)
    expect(() => probed(surface, tapered, deficit(1, { fromDepthMm: 1 }))).toThrow(RangeError)
    expect(() => probed(surface, tapered, deficit(1, { loss: { kind: 'mm', mm: 0.5 } }))).toThrow(RangeError)
  })
})
