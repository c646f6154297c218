import { describe, expect, test } from 'vitest'
import { limitsFor } from '../src/assess/limits.js'
import { marginResult } from '../src/assess/margin-result.js'
import { sectorsOf } from '../src/assess/sectors.js'
import { type BoneMargin, type FixtureProfile, FLAG_BITS, fixtureProfile, type Limit } from '../src/index.js'
import { type BoneAt, mapOf, marginOf, plate } from './closed-map.js'

// Maps in closed form: what a region comes to can be worked out.

const R = 2
const L = 10
const cylinder = fixtureProfile({ kind: 'cylinder', diameterMm: 2 * R, lengthMm: L })
const cone = fixtureProfile({ kind: 'tapered', diameterMm: 5, apexDiameterMm: 2, lengthMm: 12 })
const sectors = sectorsOf('11')
const interval = { floorMm: 0.1, why: '' }

const limits = (overrides: Readonly<Record<string, number>> = {}) => {
  const values = new Map(limitsFor('11').map((limit) => [limit.code, limit]))
  return (code: string): Limit => {
    const limit = values.get(code)
    if (limit === undefined) throw new Error(code)
    return { ...limit, value: overrides[code] ?? limit.value }
  }
}

const told = (
  bone: BoneAt,
  profile: FixtureProfile = cylinder,
  change: Partial<BoneMargin> = {},
  overrides: Readonly<Record<string, number>> = {},
) =>
  marginResult(marginOf(mapOf(bone, profile), profile, change), profile, sectors, limits(overrides), interval)

const lateral = (z: number) => {
  // Of the cone down to z: pi (r0 + r) sqrt(z^2 + (r0 - r)^2), r = 2.5 - 0.125 z.
  const r = 2.5 - 0.125 * z
  return Math.PI * (2.5 + r) * Math.hypot(z, 2.5 - r)
}

describe('regions by area', () => {
  test('on a cone the mean of a margin that grows with depth weighs the wider depths more', () => {
    // Margin z, radius 2.5 - z / 8: mean = integral z r dz / integral r dz over 0 to 12 = 108 / 21.
    const { sectors: by, levels } = told((z) => 2.5 - 0.125 * z + z, cone)
    for (const sector of Object.values(by)) {
      expect(Math.abs((sector.meanMm ?? 0) - 108 / 21)).toBeLessThan(0.01)
      expect(sector.minimumMm).toBe(0)
    }
    // The mean of the rays, all alike, would be 6.
    expect(levels.coronal.minimumMm).toBe(0)
    expect(levels.middle.minimumMm).toBeGreaterThanOrEqual(4)
    expect(levels.apical.minimumMm).toBeGreaterThanOrEqual(8)
  })

  test('the area below the limit is that of the depths above it', () => {
    // Margin z / 3: below 1 mm down to a depth of 3 mm.
    const { sectors: by, levels } = told((z) => 2.5 - 0.125 * z + z / 3, cone)
    const below = lateral(3)
    const row = lateral(12) / 40
    for (const sector of Object.values(by)) {
      expect(Math.abs(sector.belowLimitMm2 - below / 4)).toBeLessThan(row / 4)
      expect(sector.belowLimitShare).toBeCloseTo(sector.belowLimitMm2 / (lateral(12) / 4), 9)
      expect(sector.levels.apical).toMatchObject({ belowLimitMm2: 0, belowLimitShare: 0 })
    }
    const sum = Object.values(by).reduce((total, { belowLimitMm2 }) => total + belowLimitMm2, 0)
    expect(levels.coronal.belowLimitMm2).toBeCloseTo(sum, 9)
  })

  test('every ray is in one sector, one level, and one sector at one level', () => {
    const { sectors: by, levels } = told(() => 4)
    const count = (regions: readonly { readonly rays: number }[]) =>
      regions.reduce((sum, { rays }) => sum + rays, 0)
    expect(count(Object.values(by))).toBe(41 * 72)
    expect(count(Object.values(levels))).toBe(41 * 72)
    for (const sector of Object.values(by)) expect(count(Object.values(sector.levels))).toBe(sector.rays)
    for (const level of ['coronal', 'middle', 'apical'] as const)
      expect(count(Object.values(by).map((sector) => sector.levels[level]))).toBe(levels[level].rays)
  })

  test('a thin place is found in its sector and at its level', () => {
    const { sectors: by, levels, minimum } = told((z, a) => (z === 5 && a === 90 ? 2.3 : 4))
    expect(by.mesial.levels.middle.minimumMm).toBeCloseTo(0.3, 9)
    expect(by.mesial.levels.coronal.minimumMm).toBe(2)
    expect(by.distal.minimumMm).toBe(2)
    expect(levels.middle.minimumMm).toBeCloseTo(0.3, 9)
    expect(minimum).toMatchObject({ depthMm: 5, angleDeg: 90 })
  })

  test('sectors are held against their own limit, levels against that of the sides', () => {
    const { sectors: by, levels } = told(() => 3.5, cylinder, {}, { facialMarginMm: 1.8, marginMm: 1.2 })
    expect(by.facial).toMatchObject({ limitMm: 1.8, belowLimitShare: 1 })
    expect(by.palatal).toMatchObject({ limitMm: 1.2, belowLimitShare: 0 })
    expect(by.facial.levels.apical).toMatchObject({ limitMm: 1.8, belowLimitShare: 1 })
    expect(levels.apical).toMatchObject({ limitMm: 1.2, belowLimitShare: 0 })
  })

  test('the half width is that of the ray with the least margin', () => {
    const map = mapOf((z, a) => (z === 2.5 && a === 0 ? 2.2 : 4), cylinder)
    const halfWidthMm = map.radialMm.map((r) => (r < 1 ? 0.31 : 0.04))
    const { sectors: by, halfWidthMm: rows } = told((z, a) => (z === 2.5 && a === 0 ? 2.2 : 4), cylinder, {
      halfWidthMm,
    })
    expect(by.facial.halfWidthMm).toBe(0.31)
    expect(by.facial.levels.apical.halfWidthMm).toBe(0.04)
    expect(rows[10][0]).toBe(0.31)
  })
})

describe('rays without a number', () => {
  test('an axis outside bone counts below the limit, no surface in range above it, no data not at all', () => {
    const { sectors: by } = told((z, a) => {
      if (a >= 135 && a < 225) return 'no-data'
      if (z < 2.4) return 'axis-outside'
      return a < 45 || a >= 315 ? 4 : 'no-surface'
    })
    // Rows 0 to 9 of 41, the first half a row high: 9.5 of 40 rows' height.
    expect(by.facial.belowLimitShare).toBeCloseTo(9.5 / 40, 9)
    expect(by.facial.minimumMm).toBe(2)
    expect(by.mesial.belowLimitShare).toBeCloseTo(9.5 / 40, 9)
    expect(by.mesial.minimumMm).toBeNull()
    expect(by.palatal).toMatchObject({ minimumMm: null, belowLimitShare: null, belowLimitMm2: 0 })
    expect(by.palatal.openRays).toBe(by.palatal.rays)
  })

  test('without any, everything measured is null or 0', () => {
    const margin = told(() => 'no-data')
    expect(margin.minimum).toBeNull()
    expect(margin.exposureRange).toBeNull()
    expect(margin.inBone).toEqual({ areaMm2: 0, share: 0, ofMm2: 0 })
  })
})

describe('share of the side in bone', () => {
  test('beside a plate 1 mm from the axis: all but the strip 2 r acos(d / r) wide', () => {
    const { inBone, dehiscences, exposureRange } = told(plate(() => 1))
    const side = 2 * Math.PI * R * L
    expect(inBone.ofMm2).toBeCloseTo(side, 9)
    expect(Math.abs(inBone.areaMm2 / (side - 2 * R * Math.acos(1 / R) * L) - 1)).toBeLessThan(0.01)
    expect(inBone.share).toBeCloseTo(inBone.areaMm2 / side, 12)
    expect(dehiscences.map(({ sector }) => sector)).toEqual(['facial'])
    // With margins 0.2 mm larger or smaller, d / cos(phi) = r -+ 0.2.
    const strip = (r: number) => 2 * R * Math.acos(1 / r) * L
    const [least, greatest] = exposureRange?.bareMm2 ?? [0, 0]
    expect(Math.abs(least / strip(R - 0.2) - 1)).toBeLessThan(0.02)
    expect(Math.abs(greatest / strip(R + 0.2) - 1)).toBeLessThan(0.02)
    expect(exposureRange?.inBoneShare[0]).toBeCloseTo(1 - greatest / side, 9)
  })

  test('a cone wholly in bone, the apex in no data: what is left is the side down to there', () => {
    const { inBone } = told((z) => (z > 9 ? 'no-data' : 5), cone)
    // Rows are 0.3 mm apart; the last known one is at 9 mm and stands for half a row more.
    expect(inBone.ofMm2).toBeCloseTo(lateral(9.15), 9)
    expect(inBone.share).toBe(1)
  })

  test('a region that goes round is called so', () => {
    const { dehiscences } = told((z) => (z < 2 ? 'axis-outside' : 4))
    expect(dehiscences.map(({ sector }) => sector)).toEqual(['all round'])
  })
})

describe('what a mode knows', () => {
  test('fast: no plate and no map of nearest distances', () => {
    expect(told(() => 4)).toMatchObject({ mode: 'fast', cortexMm: null, nearestMm: null })
    expect(told(() => 4).sectors.facial).toMatchObject({
      cortexMeanMm: null,
      cortexMinimumMm: null,
      thinRays: 0,
    })
  })

  test('refined: plate, nearest and flags stand in their rows; plates are summed up by region', () => {
    const count = 41 * 72
    const cortexMm = Float64Array.from({ length: count }, (_, n) => (n % 72 === 0 ? 0.2 : 1))
    const flags = Uint8Array.from({ length: count }, (_, n) =>
      n % 72 === 0 ? FLAG_BITS.thin | FLAG_BITS.tooth : 0,
    )
    const nearestMapMm = new Float64Array(count).fill(1.5)
    const margin = told(() => 4, cylinder, { mode: 'refined', cortexMm, flags, nearestMapMm, aboveApexMm: 3 })
    expect(margin.mode).toBe('refined')
    expect(margin.cortexMm?.[7].slice(0, 3)).toEqual([0.2, 1, 1])
    expect(margin.nearestMm?.[7][3]).toBe(1.5)
    expect(margin.flags[7].slice(0, 2)).toEqual([['thin', 'tooth'], []])
    expect(margin.aboveApexMm).toBe(3)
    expect(margin.sectors.facial).toMatchObject({ cortexMinimumMm: 0.2, thinRays: 41 })
    expect(margin.sectors.facial.cortexMeanMm).toBeCloseTo((0.2 + 17) / 18, 9)
    expect(margin.sectors.palatal).toMatchObject({ cortexMinimumMm: 1, thinRays: 0 })
  })
})
