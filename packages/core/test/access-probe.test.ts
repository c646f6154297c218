import { describe, expect, test } from 'vitest'
import {
  type AccessProbe,
  accessChannel,
  accessExit,
  accessProbe,
  angledChannel,
  type Crown,
  crownFromMesh,
  emergence,
  tabulatedCrown,
} from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import { fromRows, invert, transformPoint } from '../src/space/index.js'
import { boxCrown } from './box-crown.js'
import { aimed, deg, POSE, rad } from './channel-aim.js'
import { place, probeOf, strewnAims, walkedDistance, wrongBend } from './probe-poses.js'
import { seeded } from './random-meshes.js'
import { squareCrown } from './square-crown.js'

const flat = boxCrown(10.5)
const local = (p: Vec3): Vec3 => transformPoint(invert(POSE), p)

/** A probe asked about an aim of the crown frame. */
const asked = <T>(crown: Crown, aim: Parameters<typeof place>[1], ask: (platform: Vec3, apical: Vec3) => T) =>
  ask(...place(crown, aim))

describe('worked geometry on a flat top', () => {
  const probe = probeOf(flat)

  test('offset at height h is h tan(tilt), the printed table', () => {
    const printed: Record<number, readonly number[]> = {
      6: [0.52, 1.06, 1.61, 2.18, 2.8, 3.46],
      8: [0.7, 1.41, 2.14, 2.91, 3.73, 4.62],
      10: [0.87, 1.76, 2.68, 3.64, 4.66, 5.77],
      12: [1.05, 2.12, 3.22, 4.37, 5.6, 6.93],
      14: [1.22, 2.47, 3.75, 5.1, 6.53, 8.08],
    }
    for (const [height, row] of Object.entries(printed))
      for (const [i, offset] of row.entries()) {
        const facialDeg = 5 * (i + 1)
        const exit = asked(flat, { platform: [0, 0, Number(height) - 10.5], facialDeg }, probe.exit)
        expect(exit.offsetMm).toBeCloseTo(Number(height) * Math.tan(rad(facialDeg)), 9)
        expect(Math.abs((exit.offsetMm ?? 0) - offset)).toBeLessThanOrEqual(0.00501)
        expect(exit.tiltFacialDeg).toBeCloseTo(facialDeg, 9)
        expect(exit.insideMm).toBeCloseTo(-1.5 - (exit.offsetMm ?? 0), 12)
      }
  })

  test('bend that moves the exit by d, the bend at the platform, the printed table', () => {
    const printed: Record<string, readonly number[]> = {
      '1.5': [10.6, 8.5, 7.1, 6.1],
      '2': [14.0, 11.3, 9.5, 8.1],
      '3': [20.6, 16.7, 14.0, 12.1],
      '4': [26.6, 21.8, 18.4, 15.9],
    }
    for (const [d, row] of Object.entries(printed))
      for (const [i, bend] of row.entries()) {
        const height = 8 + 2 * i
        const bent = probeOf(flat, { bendPivotMm: 0, wantedPalatalMm: Number(d) })
        const found = asked(flat, { platform: [0, 0, height - 10.5] }, bent.correctionDeg) ?? Number.NaN
        expect(Math.abs(found - bend)).toBeLessThanOrEqual(0.05)
        expect(found).toBeCloseTo(deg(Math.atan(Number(d) / height)), 4)
      }
    const short = boxCrown(5)
    const lifted = asked(short, { platform: [0, 0, 3] }, probeOf(short).correctionDeg)
    expect(lifted).toBeCloseTo(deg(Math.atan(1.5 / 5)), 4)
  })

  test('a central incisor: 6.1 degrees palatal leave 1.5 mm palatal; 15 degrees facial ask for 21.1 and 26.8', () => {
    const platform: Vec3 = [0, 0, 3.5]
    const palatal = { platform, facialDeg: -deg(Math.atan(1.5 / 14)) - 1e-9 }
    expect(asked(flat, palatal, probe.exit)).toMatchObject({ class: 'palatal' })
    expect(asked(flat, palatal, probe.exit).offsetMm).toBeCloseTo(-1.5, 7)
    expect(asked(flat, palatal, probe.correctionDeg)).toBe(0)
    expect(asked(flat, { platform }, probe.exit)).toMatchObject({ class: 'incisal', insideMm: -1.5 })
    const facial = { platform, facialDeg: 15 }
    expect(asked(flat, facial, probe.exit).class).toBe('facial')
    expect(asked(flat, facial, probe.exit).offsetMm).toBeCloseTo(3.75, 2)
    expect(asked(flat, facial, probe.correctionDeg)).toBeCloseTo(
      15 + deg(Math.atan((3 * Math.tan(rad(15)) + 1.5) / 11)),
      4,
    )
    expect(asked(flat, facial, probe.correctionDeg)).toBeCloseTo(26.8, 1)
    expect(asked(flat, facial, probeOf(flat, { bendPivotMm: 0 }).correctionDeg)).toBeCloseTo(21.1, 1)
  })

  test('play in a guide sleeve, clearance over length, moves the exit by so much of the height', () => {
    for (const [clearance, sleeve, printedDeg] of [
      [0.41, 4, 5.85],
      [0.2, 5, 2.29],
      [0.1, 5, 1.15],
      [0.05, 4, 0.72],
    ]) {
      const facialDeg = deg(Math.atan(clearance / sleeve))
      const exit = asked(flat, { platform: [0, 0, 3.5], facialDeg }, probe.exit)
      expect(Math.abs(exit.tiltFacialDeg - printedDeg)).toBeLessThanOrEqual(0.005)
      expect(exit.offsetMm).toBeCloseTo((14 * clearance) / sleeve, 9)
    }
  })

  test('the wall of an upright channel is its distance from the nearest side', () => {
    const narrow = boxCrown(10.5, 4)
    const ask = probeOf(narrow).wall
    const found = asked(narrow, { platform: [1, -0.5, 3.5] }, ask)
    expect(found.closedShare).toBe(1)
    expect(found.leastMm).toBeCloseTo(4 - 1 - 1.15, 9)
    const open = asked(narrow, { platform: [3.5, 0, 3.5] }, ask)
    // Lines with 1.15 cos(angle) > 0.5 miss: 64.2 degrees to either side, 25 of 72.
    expect(open.closedShare).toBeCloseTo(47 / 72, 12)
    expect(asked(narrow, { platform: [30, 0, 3.5] }, ask)).toEqual({ leastMm: null, closedShare: 0 })
  })

  test('a platform of radius r, d below a square margin, widens by atan((a - r) / d)', () => {
    const square = squareCrown(3)
    const [platform, apical] = place(square, { platform: [0, 0, 3.5] })
    const found = probeOf(square).platform(platform, apical, 2)
    expect(found.belowMarginMm).toBeCloseTo(3.5, 12)
    expect(found.crownHeightMm).toBeCloseTo(14, 12)
    expect(found.rimOralMm).toBeCloseTo(1, 12)
    expect(found.steepestDeg).toBeCloseTo(deg(Math.atan((3 * Math.SQRT2 - 2) / 3.5)), 9)
  })
})

const fromMesh = (tooth: string): Crown => crownFromMesh(tabulatedCrown(tooth).mesh, tooth)
const crowns: readonly [string, Crown][] = [
  ...['11', '12', '13', '14', '16', '21', '31', '33', '36', '46'].map((tooth): [string, Crown] => [
    tooth,
    tabulatedCrown(tooth),
  ]),
  ['a mesh for 22', fromMesh('22')],
  ['a mesh for 15', fromMesh('15')],
  ['a box', boxCrown(9, 3)],
]

describe.each(crowns)('as the library tells of one fixture: %s', (name, crown) => {
  const seed = crowns.findIndex(([other]) => other === name)
  const aims = strewnAims(100 + seed, 1000)
  const probe = probeOf(crown)

  test('exit, and platform under the crown', () => {
    for (const aim of aims) {
      const question = aimed(crown, aim)
      const { platform, apical } = question.fixture
      const truth = accessExit(question)
      const { insideMm, ...exit } = probe.exit(platform, apical)
      expect(exit.class).toBe(truth.class)
      for (const key of ['offsetMm', 'tiltFacialDeg', 'tiltMesialDeg'] as const)
        expect(Math.abs((exit[key] ?? 0) - (truth[key] ?? 0))).toBeLessThanOrEqual(1e-12)
      if (truth.point === null) expect(insideMm).toBeNull()
      else if (crown.occlusalTable === null)
        expect(insideMm).toBeCloseTo(-1.5 - (truth.offsetMm ?? Number.NaN), 12)
      else expect((insideMm ?? 0) > 0).toBe(truth.class === 'occlusal')

      const { profile, ...under } = emergence({ ...question, fixture: { platform, apical, radiusMm: 2.05 } })
      const told = probe.platform(platform, apical, 2.05)
      expect(told.belowMarginMm).toBeCloseTo(under.belowMarginMm, 9)
      expect(told.crownHeightMm).toBeCloseTo(under.crownHeightMm, 9)
      expect(told.rimOralMm).toBeCloseTo(under.rimOralOfEmergenceMm, 9)
      expect(told.steepestDeg).toBeCloseTo(Math.max(...profile.map((side) => side.emergenceDeg)), 9)
    }
  })

  test('wall', () => {
    for (const aim of aims.slice(0, 250)) {
      const truth = accessChannel(aimed(crown, aim))
      const found = asked(crown, aim, probe.wall)
      expect(found.closedShare).toBe(truth.closedShare)
      expect(found.leastMm).toBe(truth.wall?.mm ?? null)
    }
  })

  test('bends', () => {
    for (const aim of aims.slice(0, 60)) {
      const truth = angledChannel(aimed(crown, aim))
      expect(asked(crown, aim, probe.correctionDeg)).toBe(truth.least?.correctionDeg ?? null)
      const walled = asked(crown, aim, probe.correctionWithWallDeg)
      expect(walled).toBe(truth.leastWithWall?.correctionDeg ?? null)
    }
  })

  test('the least bend is met, and no lesser one', () => {
    const next = seeded(900 + seed)
    const wrong = aims.slice(0, 150).map((aim) => wrongBend(crown, aim, next, 250))
    expect(wrong.filter((words) => words !== null)).toEqual([])
  })
})

test('on a back tooth an exit is as far inside as the outline of its table is away', () => {
  const crown = tabulatedCrown('36')
  const outline = crown.occlusalTable ?? []
  const probe = probeOf(crown)
  let inside = 0
  for (const aim of strewnAims(5, 60)) {
    const truth = accessExit(aimed(crown, aim))
    if (truth.point === null) continue
    const [x, y] = local(truth.point)
    const mm = asked(crown, aim, probe.exit).insideMm ?? Number.NaN
    expect(Math.abs(Math.abs(mm) - walkedDistance(outline, x, y))).toBeLessThan(0.01)
    if (mm > 0) inside++
  }
  expect(inside).toBeGreaterThan(10)
})

test('the same answers in any order, and for a direction of any length', () => {
  const crown = tabulatedCrown('13')
  const aims = strewnAims(6, 40)
  const all = (probe: AccessProbe, list: typeof aims) =>
    list.map((aim) => {
      const [platform, apical] = place(crown, aim)
      return [
        probe.exit(platform, apical),
        probe.correctionDeg(platform, apical),
        probe.wall(platform, apical),
      ]
    })
  const forwards = all(probeOf(crown), aims)
  expect(all(probeOf(crown), [...aims].reverse()).reverse()).toEqual(forwards)
  const [platform, apical] = place(crown, aims[0])
  const longer: Vec3 = [8 * apical[0], 8 * apical[1], 8 * apical[2]]
  expect(probeOf(crown).exit(platform, longer)).toEqual(forwards[0][0])
})

describe('limits', () => {
  test('a wider band and a place further behind the edge move the bend', () => {
    const platform: Vec3 = [0, 0, 3.5]
    const bend = (limits: Parameters<typeof probeOf>[1]) =>
      asked(flat, { platform }, probeOf(flat, limits).correctionDeg)
    expect(bend({ wantedPalatalMm: 3 })).toBeCloseTo(deg(Math.atan(3 / 11)), 4)
    expect(bend({ edgeBandMm: 2 })).toBeCloseTo(deg(Math.atan(2 / 11)), 4)
    expect(bend({ bendPivotMm: 5 })).toBeCloseTo(deg(Math.atan(1.5 / 9)), 4)
  })

  test('what cannot be asked is refused in words', () => {
    const question = aimed(flat, { platform: [0, 0, 3.5] })
    const wide = { ...question, pose: fromRows([2, 0, 0, 0, 0, 2, 0, 0, 0, 0, 2, 0, 0, 0, 0, 1]) }
    expect(() => accessProbe(wide)).toThrow(/scale, shear or a mirror/)
    expect(() => accessProbe({ ...question, site: { ...question.site, tooth: '12' } })).toThrow(/choose one/)
    expect(() => accessProbe({ ...question, limits: { channelDiameterMm: 0 } })).toThrow(/0 mm wide/)
    expect(() => probeOf(flat).exit([0, 0, 0], [0, 0, 0])).toThrow(RangeError)
  })

  test('an axis that runs level or apically has no bend', () => {
    const { platform, apical } = aimed(flat, { platform: [0, 0, 3.5] }).fixture
    const over: Vec3 = [-apical[0], -apical[1], -apical[2]]
    const probe = probeOf(flat)
    expect(probe.correctionDeg(platform, over)).toBeNull()
    expect(probe.correctionWithWallDeg(platform, over)).toBeNull()
    expect(probe.exit(platform, over).class).toBeNull()
  })
})
