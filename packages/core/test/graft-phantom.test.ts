import { upperFront } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import {
  type DeficitGraft,
  type FreeGraft,
  graftedMargin,
  graftField,
  graftOutlines,
  graftSize,
  wallsRemaining,
} from '../src/graft/index.js'
import {
  boneModel,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  refinedMargin,
  surfaceGrid,
  type Vec3,
} from '../src/index.js'
import { deficit, segmentMm2, site } from './graft-cases.js'
import { ridge } from './ridge-scene.js'

// Two flat plates, blurred: the facial face of bone is x = 4, the oral one x = -6; see ridge.
const LENGTH_MM = 8
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: LENGTH_MM })
const model = boneModel(ridge(90))

/** A fixture along the face, its axis so far inside of it; negative: outside. */
function beside(insideMm: number, mode: 'fast' | 'refined' = 'fast', apical: Vec3 = [0, 0, 1]) {
  const frame = fixtureFrame({ platform: [4 - insideMm, 0, 0], apical }, site.facial)
  const measure = mode === 'fast' ? fastMargin : refinedMargin
  const margin = measure(model, frame, profile, surfaceGrid(profile))
  const planned = (spec: DeficitGraft | FreeGraft) => {
    const field = graftField({ margin, frame, profile, site, spec })
    if (field === null) throw new Error('nothing to graft')
    return field
  }
  return { frame, margin, planned }
}

/** What lies between the fixture and the wanted circle and is not bone. */
const trueMm3 = (insideMm: number, mm: number) =>
  (segmentMm2(2 + mm, insideMm) - segmentMm2(2, insideMm)) * LENGTH_MM

/** How much a shift of the face changes that, mm3 per mm. */
const perMm = (insideMm: number, mm: number) =>
  2 * LENGTH_MM * (Math.sqrt((2 + mm) ** 2 - insideMm ** 2) - Math.sqrt(Math.max(0, 4 - insideMm ** 2)))

describe('measured on a scan: as sure as the margin it stands on', () => {
  for (const mode of ['fast', 'refined'] as const)
    test(`${mode}: volume beside the face, by as much as the face may be off`, () => {
      for (const inside of [3, 2]) {
        const { margin, planned } = beside(inside, mode)
        const { volumeMm3 } = graftSize(planned(deficit(2)), profile)
        const off = Math.abs(volumeMm3 - trueMm3(inside, 2))
        expect(off).toBeLessThan(perMm(inside, 2) * margin.uncertaintyMm)
        // On this even scan the face is met within 0.02 mm.
        expect(off).toBeLessThan(perMm(inside, 2) * 0.02)
      }
    })

  test('margins with the graft: what was asked for, and less by the loss', () => {
    const { frame, margin, planned } = beside(3)
    const field = planned(deficit(2, { loss: { kind: 'mm', mm: 0.4 } }))
    const built = graftedMargin(margin, field, 'outer', frame, profile)
    const kept = graftedMargin(margin, field, 'kept', frame, profile)
    expect(margin.minimum?.radialMm).toBeCloseTo(1, 1)
    expect(built.minimum?.radialMm).toBeCloseTo(2, 2)
    expect(kept.minimum?.radialMm).toBeCloseTo(1.6, 2)
    // Beyond the apex nothing is grafted: there the old face stays nearest.
    expect(built.nearestMm).toBeGreaterThan(margin.nearestMm ?? Number.NaN)
    expect(built.nearestMm).toBeLessThan(2)
    expect(graftedMargin(margin, null, 'outer', frame, profile)).toBe(margin)
  })

  test('a fixture that sticks out is covered', () => {
    const { frame, margin, planned } = beside(1)
    expect(margin.dehiscenceMm).toBeCloseTo(LENGTH_MM, 6)
    const after = graftedMargin(margin, planned(deficit(1.5)), 'outer', frame, profile)
    expect(after.dehiscences).toEqual([])
    expect(after.minimum?.radialMm).toBeCloseTo(1.5, 2)
  })
})

describe('the axis outside bone', () => {
  test('near the face: round the fixture up to bone behind', () => {
    const { frame, margin, planned } = beside(-0.7)
    expect(margin.states.every((state) => state === 'axis-outside')).toBe(true)
    const field = planned(deficit(2))
    const { volumeMm3 } = graftSize(field, profile)
    expect(Math.abs(volumeMm3 / trueMm3(-0.7, 2) - 1)).toBeLessThan(0.03)
    const after = graftedMargin(margin, field, 'outer', frame, profile)
    expect(after.dehiscences).toEqual([])
    expect(after.minimum?.radialMm).toBeCloseTo(2, 2)
    const { sides, count } = wallsRemaining(field, '11')
    expect(count).toBe(1)
    expect(sides.find(({ stands }) => stands)?.side).toBe('oral')
  })

  test('away from it: the gap is filled as well, and what fills it does not resorb', () => {
    const { frame, margin, planned } = beside(-2.5)
    const field = planned(deficit(2, { loss: { kind: 'share', share: 0.5 } }))
    expect(Math.abs(graftSize(field, profile).volumeMm3 / trueMm3(-2.5, 2) - 1)).toBeLessThan(0.02)
    const at = (angle: number) => 16 * 144 + angle / 2.5
    expect(field.outerMm[at(180)]).toBeCloseTo(2.5, 1)
    expect(field.keptMm[at(180)]).toBe(field.outerMm[at(180)])
    expect(field.outerMm[at(0)]).toBeCloseTo(4, 9)
    expect(field.keptMm[at(0)]).toBeCloseTo(3, 9)
    const { radialMm, states } = graftedMargin(margin, field, 'outer', frame, profile)
    // Through the filled gap into bone, 10 mm thick, which goes on beyond the reach of rays.
    const ray = 20 * 72 + 36
    expect(states[ray] === 'no-surface' || radialMm[ray] > 8).toBe(true)
    expect(graftOutlines(field, frame, 0).built).toHaveLength(2)
  })

  test('nothing enters a mask', () => {
    // A root of 1 mm radius, its axis 3.9 mm facial of the fixture's: 0.9 mm between the two.
    const root = { fromMm: [8.6, 0, -5], toMm: [8.6, 0, 20], radiusMm: 1 } as const
    const { frame } = beside(-0.7)
    const masked = { ...model, masks: [root] }
    const margin = fastMargin(masked, frame, profile, surfaceGrid(profile))
    const field = graftField({ margin, frame, profile, site, spec: deficit(2) })
    expect(field?.outerMm[16 * 144]).toBeCloseTo(2.9, 6)
    expect(field?.outerMm[16 * 144 + 12]).toBeCloseTo(4, 6)
  })
})

test('a natural outside runs out at 45 degrees beyond the apex, never above its beginning', () => {
  const { planned } = beside(2)
  const { depthsMm, outerMm, innerMm } = planned(deficit(1.5, { natural: true, fromDepthMm: 1 }))
  expect(depthsMm[0]).toBe(1)
  const thickness = depthsMm.map((_, row) => (outerMm[row * 144] || 0) - (innerMm[row * 144] || 0))
  const last = depthsMm.findIndex((z) => z > LENGTH_MM + 1e-9) - 1
  expect(thickness[last]).toBeGreaterThan(1.4)
  // Smoothed, but for its ends: no step is higher than the rows are apart.
  for (let row = last + 1; row + 1 < depthsMm.length; row++)
    expect(thickness[row] - thickness[row + 1]).toBeLessThan(1.1 * (depthsMm[1] - depthsMm[0]))
  expect(thickness[thickness.length - 1]).toBe(0)
})

test('from above the platform: rays there are measured too', () => {
  const { planned } = beside(3)
  const field = planned(deficit(2, { fromDepthMm: -2.4 }))
  expect(field.openRays).toBe(0)
  const { volumeMm3, heightMm } = graftSize(field, profile)
  expect(heightMm).toBeCloseTo(LENGTH_MM + 2.4, 6)
  expect(Math.abs(volumeMm3 / (segmentMm2(4, 3) * (LENGTH_MM + 2.4)) - 1)).toBeLessThan(0.03)
})

describe('a free graft', () => {
  const layer: FreeGraft = {
    kind: 'free',
    at: [4, 0, 4],
    thicknessMm: 2,
    heightMm: 6,
    widthMm: 7,
    loss: { kind: 'share', share: 0.2 },
  }
  /** Thinned out over 1 mm at its borders. */
  const volume = 2 * (6 - 1) * (7 - 1)

  test('thickness times height times width, less the tapers', () => {
    const field = beside(3).planned(layer)
    expect(Math.abs(graftSize(field, profile).volumeMm3 / volume - 1)).toBeLessThan(0.01)
    const { footprintMm2, heightMm } = graftSize(field, profile)
    expect(Math.abs(footprintMm2 / 42 - 1)).toBeLessThan(0.03)
    expect(heightMm).toBeCloseTo(6, 1)
    expect(field.outerMm.reduce((most, mm) => Math.max(most, mm || 0), 0)).toBeGreaterThan(4.98)
  })

  test('it stays where it is when the fixture moves and leans', () => {
    for (const [inside, apical] of [
      [4.5, [0, 0, 1]],
      [3, [0.15, 0.1, 1]],
      [2.4, [-0.1, 0.2, 1]],
    ] as const) {
      const field = beside(inside, 'fast', apical).planned(layer)
      expect(Math.abs(graftSize(field, profile).volumeMm3 / volume - 1)).toBeLessThan(0.015)
    }
  })

  test('a place where nothing is, and no size: nothing', () => {
    const { margin, frame } = beside(3)
    const nothing = (spec: FreeGraft) => graftField({ margin, frame, profile, site, spec })
    expect(nothing({ ...layer, thicknessMm: 0 })).toBeNull()
    expect(nothing({ ...layer, at: [4, 60, 4] })).toBeNull()
  })
})

test('a front ridge between roots: no ray of the margin is left short, wherever the fixture leaves bone', () => {
  const { volume, plans } = upperFront({ voxelMm: 0.4 })
  const front = boneModel(volume)
  const { fixture, site } = plans.find(({ name }) => name === 'upright')?.plan ?? plans[0].plan
  const tapered = fixtureProfile(fixture.shape)
  const [x, y, z] = fixture.platform
  for (const shift of [1, 2, 3]) {
    const [fx, fy, fz] = site.facial
    const platform: Vec3 = [x + shift * fx, y + shift * fy, z + shift * fz]
    const at = fixtureFrame({ ...fixture, platform }, site.facial)
    const margin = fastMargin(front, at, tapered, surfaceGrid(tapered))
    const spec = deficit(1, { facialMm: 2 })
    const field = graftField({ margin, frame: at, profile: tapered, site, spec })
    const { radialMm, states } = graftedMargin(margin, field, 'outer', at, tapered)
    expect(margin.minimum?.radialMm).toBeLessThan(0)
    expect(states).not.toContain('axis-outside')
    expect(radialMm.filter((mm) => mm < 1 - 1e-6)).toHaveLength(0)
  }
})
