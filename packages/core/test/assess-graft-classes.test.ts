import { describe, expect, test } from 'vitest'
import { defectClasses } from '../src/assess/defect-classes.js'
import { type DefectMeasures, defectMeasures } from '../src/assess/defect-measures.js'
import { graftTiming } from '../src/assess/graft-timing.js'
import { shownInterval } from '../src/assess/interval.js'
import { resolveLimits } from '../src/assess/limits.js'
import { marginResult } from '../src/assess/margin-result.js'
import { sectorsOf } from '../src/assess/sectors.js'
import { boneModel, fixtureProfile, type GraftWalls, radiusAtMm } from '../src/index.js'
import { type BoneAt, mapOf, marginOf } from './closed-map.js'
import { ridge } from './ridge-scene.js'

// Classes and considerations of measures given in closed form, against the published tables named beside them.

const walls = (...standing: readonly string[]): GraftWalls => ({
  sides: (['facial', 'oral', 'mesial', 'distal'] as const).map((side) => {
    const stands = standing.includes(side)
    return { side, stands, share: stands ? 1 : 0 }
  }),
  count: standing.length,
})

/** A dehiscence of 2 mm on a fixture of 10 mm in an ample ridge. */
const measures = (told: Partial<DefectMeasures> = {}): DefectMeasures => ({
  verticalMm: 0,
  horizontalMm: 2,
  facialBareMm: 2,
  oralBareMm: 0,
  lengthMm: 10,
  inBoneShare: 0.9,
  walls: walls('oral', 'mesial', 'distal'),
  ridge: { widthMm: 6, depthMm: 1 },
  open: false,
  ...told,
})

const classOf = (scheme: string, told: Partial<DefectMeasures>): string | undefined =>
  defectClasses(measures(told)).find((each) => each.scheme === scheme)?.class

describe('classes of what is missing across and in height', () => {
  const across = { horizontalMm: 2, verticalMm: 0 }
  const inHeight = { horizontalMm: 0, verticalMm: 2 }
  const both = { horizontalMm: 2, verticalMm: 2 }

  // Seibert 1983: I horizontal, II vertical, III combined. Allen 1985: A vertical, B horizontal, C combined.
  test.each([
    [across, 'class I (horizontal)', /^type B/, /^H\./, /^H,/],
    [inHeight, 'class II (vertical)', /^type A/, /^V\./, /^V,/],
    [both, 'class III (combined)', /^type C/, /^C\./, /^C,/],
  ] as const)('%o', (told, seibert, allen, cologne, hvc) => {
    expect(classOf('Seibert 1983', told)).toBe(seibert)
    expect(classOf('Allen 1985', told)).toMatch(allen)
    expect(classOf('Cologne 2013', told)).toMatch(cologne)
    expect(classOf('HVC 2002', told)).toMatch(hvc)
  })

  // Allen: mild < 3, moderate 3 to 6, severe > 6. Cologne: 1 < 4, 2 4 to 8, 3 > 8. HVC: to 3, 4 to 6, from 7.
  test.each([
    [2.9, 'mild', 1, 'small'],
    [3, 'moderate', 1, 'small'],
    [3.6, 'moderate', 1, 'medium'],
    [4, 'moderate', 2, 'medium'],
    [6, 'moderate', 2, 'medium'],
    [6.1, 'severe', 2, 'medium'],
    [7, 'severe', 2, 'large'],
    [8, 'severe', 2, 'large'],
    [8.1, 'severe', 3, 'large'],
  ])('sizes of %d mm across', (horizontalMm, allen, cologne, hvc) => {
    expect(classOf('Allen 1985', { horizontalMm })).toBe(`type B (horizontal), ${allen}`)
    expect(classOf('Cologne 2013', { horizontalMm })).toBe(`H.${cologne}`)
    expect(classOf('HVC 2002', { horizontalMm })).toBe(`H, ${hvc}`)
  })

  test('under half a millimetre there is no class', () => {
    expect(defectClasses(measures({ horizontalMm: 0.4, facialBareMm: 0.4 }))).toEqual([])
  })
})

describe('classes of an uncovered fixture', () => {
  // Terheyden 2010: facial less or more than half; 3/4 lingual partly; 4/4 more than half of both.
  test.each([
    [4.9, 0, '1/4'],
    [5, 0, '1/4'],
    [5.1, 0, '2/4'],
    [5.1, 1, '3/4'],
    [6, 5.1, '4/4'],
    [0, 6, undefined],
  ])('Terheyden, %d mm facially and %d mm opposite of 10 mm', (facialBareMm, oralBareMm, quarters) => {
    expect(classOf('Terheyden 2010', { facialBareMm, oralBareMm })).toBe(quarters)
  })

  test.each([
    [{}, '2'],
    [{ walls: walls('oral', 'mesial') }, '3'],
    [{ walls: walls('mesial', 'distal') }, '2'],
    [{ verticalMm: 1 }, '5'],
    [{ facialBareMm: 0 }, undefined],
  ])('Benic and Hämmerle, %o', (told, name) => {
    expect(classOf('Benic and Hämmerle 2014', told)).toBe(name)
  })

  test('none where rays without data leave it open how far it reaches', () => {
    const schemes = defectClasses(measures({ open: true })).map(({ scheme }) => scheme)
    expect(schemes).toEqual(['Seibert 1983', 'Allen 1985', 'Cologne 2013', 'HVC 2002'])
  })
})

test('every class says what it was told from and where it is from', () => {
  for (const { text, source } of defectClasses(measures())) {
    expect(text).toMatch(/^Would be described as .* told from /)
    expect(source).not.toBe('')
  }
})

describe('grafting with the fixture or before it', () => {
  const sideOf = (words: RegExp, told: Partial<DefectMeasures>): string => {
    const timing = graftTiming(measures(told))
    const sides = (['simultaneous', 'staged'] as const).filter((name) =>
      timing[name].some(({ text }) => words.test(text)),
    )
    return sides.join(' and ')
  }

  test.each([
    [/walls stand/, { walls: walls('oral', 'mesial') }, { walls: walls('oral') }],
    [/uncovered over/, { facialBareMm: 4.3 }, { facialBareMm: 4.4 }],
    [/missing all round/, { verticalMm: 3 }, { verticalMm: 3.1 }],
    [/covers/, { inBoneShare: 0.51 }, { inBoneShare: 0.5 }],
    [/across at its narrowest/, {}, { ridge: { widthMm: 3.9, depthMm: 1 } }],
  ] as const)('%s', (words, few, many) => {
    expect(sideOf(words, few)).toBe('simultaneous')
    expect(sideOf(words, many)).toBe('staged')
  })

  test('what is not known is not said; each side has its own whatever was measured', () => {
    expect(sideOf(/across at its narrowest/, { ridge: null })).toBe('')
    for (const told of [{}, { walls: walls(), facialBareMm: 9, inBoneShare: 0.1, ridge: null }]) {
      const { simultaneous, staged } = graftTiming(measures(told))
      expect(simultaneous.length).toBeGreaterThan(0)
      expect(staged.length).toBeGreaterThan(0)
      for (const { source } of [...simultaneous, ...staged]) expect(source).not.toBe('')
    }
  })
})

describe('measures of a map in closed form', () => {
  const tooth = '11'
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
  const interval = shownInterval(boneModel(ridge()))
  const of = (boneAt: BoneAt): DefectMeasures =>
    defectMeasures(
      marginResult(
        marginOf(mapOf(boneAt, profile), profile),
        profile,
        sectorsOf(tooth),
        resolveLimits(tooth, {}),
        interval,
      ),
      null,
      walls(),
      sectorsOf(tooth),
      { lengthMm: profile.lengthMm, radiusAtMm: (depthMm) => radiusAtMm(profile, depthMm) },
    )

  test('bone 3 mm from the axis all round: nothing bare, 6 mm across', () => {
    const found = of(() => 3)
    expect(found).toMatchObject({ verticalMm: 0, facialBareMm: 0, oralBareMm: 0, horizontalMm: 0 })
    expect(found.inBoneShare).toBe(1)
    expect(found.ridge?.widthMm).toBeCloseTo(6, 9)
  })

  test('a crest that rises by 1 mm per mm from 1 mm at the platform: bare down to 1 mm all round', () => {
    const found = of((depthMm) => 1 + depthMm)
    expect(found.verticalMm).toBeCloseTo(1, 9)
    expect(found.facialBareMm).toBeCloseTo(1, 9)
    expect(found.ridge?.widthMm).toBeCloseTo(2, 9)
  })

  test('a facial crest alone that rises so: height is missing nowhere all round', () => {
    const found = of((depthMm, angleDeg) => (angleDeg < 45 || angleDeg >= 315 ? 0.5 + depthMm / 2 : 4))
    expect(found.verticalMm).toBe(0)
    expect(found.facialBareMm).toBeCloseTo(3, 9)
    expect(found.oralBareMm).toBe(0)
  })
})
