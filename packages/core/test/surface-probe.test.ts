import { describe, expect, test } from 'vitest'
import { type ProbedSurface, RAY_AXIS_OUTSIDE, RAY_CLEAR, RAY_ENDS, surfaceProbe } from '../src/bone/index.js'
import {
  axisPoint,
  type FixtureFrame,
  type FixtureProfile,
  fixtureFrame,
  fixtureProfile,
  radialDirection,
  radiusAtMm,
  surfaceGrid,
} from '../src/fixture/index.js'
import { along } from '../src/space/index.js'
import { type DistanceAt, fieldOf, lot, quarters, readField, someFrame } from './probe-field.js'

const tapered = fixtureProfile({ kind: 'tapered', diameterMm: 4.1, apexDiameterMm: 3, lengthMm: 10 })
const cylinder = (diameterMm: number, lengthMm = 10) =>
  fixtureProfile({ kind: 'cylinder', diameterMm, lengthMm })

/** A ridge between two roots, facial towards +x: a wavy plate, an oral one that runs out, a crest. */
const ridge: DistanceAt = (x, y, z) =>
  Math.min(
    3.4 + 0.2 * Math.sin(0.5 * z) - 0.03 * y * y - x,
    (4.5 + 0.15 * z + x) / Math.hypot(1, 0.15),
    z + 1.5,
    Math.hypot(x + 0.5, y - 7) - 2.2,
    Math.hypot(x + 0.5, y + 7) - 2.2,
  )

/** A thin plate facially with a hole in it, and a groove: nothing smooth. */
const broken: DistanceAt = (x, y, z) =>
  Math.min(
    2.6 - x,
    Math.max(5 + x, -12),
    Math.hypot(x - 2.8, y - 0.7, z - 4) - 0.9,
    Math.hypot(x - 2.2, y + 2) - 0.5,
    z + 0.4,
    14 - z,
  )

/** First end of bone on every ray in steps of 0.005 mm, parted in halves to 1e-10. */
function bruteEnds(surface: ProbedSurface, frame: FixtureFrame, profile: FixtureProfile, toMm: number) {
  const grid = surfaceGrid(profile)
  return grid.depthsMm.map((depthMm) =>
    grid.anglesDeg.map((angle) => {
      const start = axisPoint(frame, depthMm)
      const direction = radialDirection(frame, angle)
      const at = (mm: number) => readField(surface, along(start, direction, mm))
      if (at(0) <= 0) return Number.NaN
      for (let mm = 0.01; mm < toMm; mm += 0.01) {
        if (at(mm) > 0) continue
        let [low, high] = [mm - 0.01, mm]
        while (high - low > 1e-10) {
          const middle = (low + high) / 2
          if (at(middle) > 0) low = middle
          else high = middle
        }
        return high
      }
      return Number.POSITIVE_INFINITY
    }),
  )
}

/** How far outside a ray runs within the 0.1 mm after a place, mm. */
function deepestMm(surface: ProbedSurface, frame: FixtureFrame, row: number, column: number, fromMm: number) {
  const grid = surfaceGrid(tapered)
  const start = axisPoint(frame, grid.depthsMm[row])
  const direction = radialDirection(frame, grid.anglesDeg[column])
  let least = 0
  for (let mm = fromMm; mm < fromMm + 0.1; mm += 0.0005)
    least = Math.min(least, readField(surface, along(start, direction, mm)))
  return least
}

describe('against every ray of the same field', () => {
  for (const [name, body] of Object.entries({ ridge, broken }))
    test(`${name}: what is passed over is never the least, at 500 poses`, () => {
      const surface = fieldOf(body)
      const grid = surfaceGrid(tapered)
      const draw = lot(7)
      const quick = surfaceProbe(surface, tapered, grid, quarters(grid))
      const whole = surfaceProbe(surface, tapered, grid, quarters(grid))
      const everything = new Float64Array(grid.anglesDeg.length).fill(20)
      const some = Float64Array.from(grid.anglesDeg, (angle) => (Math.abs(angle - 180) > 120 ? 2 : 1))
      let worst = 0
      let grazes = 0
      for (let n = 0; n < 500; n++) {
        const frame = someFrame(draw)
        const all = whole.measure(frame, everything)
        const least = quick.measure(frame, n % 2 === 0 ? null : some)
        const asked = n % 2 === 0 ? null : some
        const grazed = new Set<number>()
        for (const [ray, state] of whole.rays.states.entries()) {
          const column = ray % 72
          const mm = whole.rays.endMm[ray]
          const reachMm =
            whole.rays.radiiMm[(ray - column) / 72] + (asked?.[column] ?? Number.NEGATIVE_INFINITY)
          const quickMm = quick.rays.endMm[ray]
          const alike =
            quick.rays.states[ray] === RAY_ENDS ? Math.abs(quickMm - mm) < 1e-6 : !(mm < reachMm - 1e-6)
          if (alike || state !== RAY_ENDS) continue
          // What a ray is outside for less than a step of it may be seen from one start and not from another.
          const firstMm = Math.min(mm, Number.isNaN(quickMm) ? mm : quickMm)
          expect(deepestMm(surface, frame, (ray - column) / 72, column, firstMm)).toBeGreaterThan(-0.002)
          grazed.add(quarters(grid).ofColumn[column])
          grazes++
        }
        for (const [sector, mm] of all.sectorsMm.entries()) {
          if (grazed.has(sector)) continue
          expect(Number.isNaN(least.sectorsMm[sector])).toBe(Number.isNaN(mm))
          if (!Number.isNaN(mm)) worst = Math.max(worst, Math.abs(least.sectorsMm[sector] - mm))
        }
      }
      expect(worst).toBeLessThan(1e-6)
      expect(grazes).toBeLessThan(5)
    })

  test('every ray as small steps find it, at 6 poses', () => {
    const draw = lot(3)
    for (const surface of [fieldOf(ridge), fieldOf(broken)])
      for (let n = 0; n < 3; n++) {
        const frame = someFrame(draw)
        const grid = surfaceGrid(tapered)
        const probe = surfaceProbe(surface, tapered, grid, quarters(grid))
        probe.measure(frame, new Float64Array(72).fill(20))
        const truth = bruteEnds(surface, frame, tapered, 10)
        for (const [row, ends] of truth.entries())
          for (const [column, mm] of ends.entries()) {
            const ray = row * 72 + column
            if (Number.isNaN(mm)) expect(probe.rays.states[ray]).toBe(RAY_AXIS_OUTSIDE)
            else if (Number.isFinite(mm)) expect(Math.abs(probe.rays.endMm[ray] - mm)).toBeLessThan(1e-6)
            else expect(Number.isNaN(probe.rays.endMm[ray])).toBe(true)
          }
      }
  })
})

describe('closed forms', () => {
  test('a flat plate 3.5 mm from the axis: d / cos a - r, and the neighbours at their edge', () => {
    const profile = cylinder(4)
    const grid = surfaceGrid(profile)
    const probe = surfaceProbe(
      fieldOf((x) => 3.5 - x),
      profile,
      grid,
      quarters(grid),
    )
    const { sectorsMm, radialMm } = probe.measure(
      fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0]),
      null,
    )
    const at = (deg: number) => 3.5 / Math.cos((deg * Math.PI) / 180) - 2
    expect(radialMm).toBeCloseTo(1.5, 6)
    // The facial sector ends before 45 degrees; the others begin there, and 5 degrees later on their other side.
    for (const [n, mm] of [1.5, at(45), Number.NaN, at(50)].entries())
      if (Number.isNaN(mm)) expect(sectorsMm[n]).toBeNaN()
      else expect(sectorsMm[n]).toBeCloseTo(mm, 6)
  })

  test('a plate that leans 15 degrees: the shallowest ray lies at one end of the fixture', () => {
    const profile = cylinder(3.6, 12)
    const grid = surfaceGrid(profile)
    const [c, s] = [Math.cos(Math.PI / 12), Math.sin(Math.PI / 12)]
    const probe = surfaceProbe(
      fieldOf((x, _, z) => 4.5 - c * x - s * z),
      profile,
      grid,
      quarters(grid),
    )
    const { radialMm } = probe.measure(
      fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0]),
      null,
    )
    expect(radialMm).toBeCloseTo((4.5 - 12 * s) / c - 1.8, 5)
  })

  test('in the middle of a cylinder of bone, moved 1 mm aside: 4 - 1 - r', () => {
    const profile = cylinder(4)
    const grid = surfaceGrid(profile)
    const probe = surfaceProbe(
      fieldOf((x, y) => 5 - Math.hypot(x, y), { stepMm: 0.2 }),
      profile,
      grid,
      quarters(grid),
    )
    const { sectorsMm } = probe.measure(
      fixtureFrame({ platform: [1, 0, 0], apical: [0, 0, 1] }, [1, 0, 0]),
      null,
    )
    const ray = (deg: number) => {
      const a = (deg * Math.PI) / 180
      return -Math.cos(a) + Math.sqrt(25 - Math.sin(a) ** 2) - 2
    }
    // Between nodes the distance to a circle of 5 mm is told too small by at most h^2 / 8 / 5 in each direction: 0.002 mm.
    for (const [n, mm] of [ray(0), ray(45), ray(135), ray(45)].entries())
      expect(Math.abs(sectorsMm[n] - mm)).toBeLessThan(n === 3 ? 0.2 : 0.003)
  })

  test('mirror images have the same numbers, sides exchanged', () => {
    const grid = surfaceGrid(tapered)
    const lopsided: DistanceAt = (x, y, z) => Math.min(3.3 - x, 4.2 + x + 0.1 * y, 4.8 - y - 0.05 * z, 6 + y)
    const there = surfaceProbe(fieldOf(lopsided), tapered, grid, quarters(grid))
    const here = surfaceProbe(
      fieldOf((x, y, z) => lopsided(x, -y, z)),
      tapered,
      grid,
      {
        ...quarters(grid),
        ofColumn: quarters(grid).ofColumn.map((_, n, all) => all[(72 - n) % 72]),
      },
    )
    const draw = lot(11)
    for (let n = 0; n < 50; n++) {
      const frame = someFrame(draw)
      const [px, py, pz] = frame.origin
      const [ax, ay, az] = frame.z
      const mirrored = fixtureFrame({ platform: [px, -py, pz], apical: [ax, -ay, az] }, [1, 0, 0])
      const a = there.measure(frame, null).sectorsMm.slice()
      const b = here.measure(mirrored, null).sectorsMm
      for (const [sector, mm] of a.entries()) expect(b[sector]).toBeCloseTo(mm, 6)
    }
  })
})

describe('where there is no number', () => {
  const straight = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const profile = cylinder(4)
  const grid = surfaceGrid(profile)

  test('an axis outside of bone gives none there; all of it outside: none at all', () => {
    const half = surfaceProbe(
      fieldOf((x, _, z) => Math.min(3 - x, z - 4.9)),
      profile,
      grid,
      quarters(grid),
    )
    expect(half.measure(straight, null).radialMm).toBeCloseTo(1, 5)
    expect([...half.rays.states.slice(0, 72)]).toEqual(new Array(72).fill(RAY_AXIS_OUTSIDE))
    const none = surfaceProbe(
      fieldOf(() => -3),
      profile,
      grid,
      quarters(grid),
    )
    const found = none.measure(straight, null)
    expect(found.radialMm).toBeNaN()
    expect([...found.sectorsMm].every(Number.isNaN)).toBe(true)
  })

  test('data that ends 0.6 mm beside the fixture: those rays are open, and give no number', () => {
    const cut = (x: number) => x > 2.6
    const surface = fieldOf((x) => Math.min(2.6 - x, 5 + x), { unscanned: cut })
    const probe = surfaceProbe(surface, profile, grid, quarters(grid))
    const found = probe.measure(straight, null)
    const reach = (Math.acos(2.6 / 3) * 180) / Math.PI
    const open = grid.anglesDeg.filter((angle) => Math.min(angle, 360 - angle) < reach).length
    expect(found.openShare).toBeCloseTo(open / 72, 9)
    expect(found.sectorsMm[0]).toBeNaN()
    expect(found.sectorsMm[2]).toBeCloseTo(3, 6)
    const far = surfaceProbe(surface, profile, grid, quarters(grid, 0.5)).measure(straight, null)
    expect(far.openShare).toBe(0)
  })

  test('a pose beyond the grid is open all round', () => {
    const probe = surfaceProbe(
      fieldOf((x) => 3 - x),
      profile,
      grid,
      quarters(grid),
    )
    const away = fixtureFrame({ platform: [0, 0, 200], apical: [0, 0, 1] }, [1, 0, 0])
    expect(probe.measure(away, null).openShare).toBe(1)
  })

  test('no ray is followed that is not asked for', () => {
    const probe = surfaceProbe(fieldOf(ridge), tapered, surfaceGrid(tapered), quarters(surfaceGrid(tapered)))
    probe.measure(straight, null)
    expect(probe.rays.states.filter((state) => state === RAY_CLEAR).length).toBeGreaterThan(2700)
    expect(radiusAtMm(tapered, 0)).toBe(2.05)
  })
})
