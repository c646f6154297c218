import { describe, expect, test } from 'vitest'
import { graftFindings } from '../src/assess/graft-findings.js'
import { shownInterval } from '../src/assess/interval.js'
import { resolveLimits } from '../src/assess/limits.js'
import { marginCover } from '../src/assess/margin-cover.js'
import { marginResult } from '../src/assess/margin-result.js'
import { sectorsOf } from '../src/assess/sectors.js'
import {
  boneModel,
  defaultDeficitGraft,
  fixtureProfile,
  type GraftAssessment,
  type GraftSize,
} from '../src/index.js'
import { type BoneAt, mapOf, marginOf } from './closed-map.js'
import { ridge } from './ridge-scene.js'

// What is said of grafts whose numbers are given.

const tooth = '11'
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
const limits = resolveLimits(tooth, {})
const sectors = sectorsOf(tooth)
const interval = shownInterval(boneModel(ridge()))
const wanted = defaultDeficitGraft(tooth)

const marginFrom = (boneAt: BoneAt) => marginOf(mapOf(boneAt, profile), profile)
const told = (boneAt: BoneAt) => marginResult(marginFrom(boneAt), profile, sectors, limits, interval)
const cover = (boneAt: BoneAt) => marginCover(marginFrom(boneAt), profile, sectors, limits)

/** Bone to 4 mm from the axis, but facially less. */
const facially =
  (mm: (depthMm: number) => number): BoneAt =>
  (depthMm, angleDeg) =>
    angleDeg <= 45 || angleDeg >= 315 ? mm(depthMm) : 4

const size: GraftSize = {
  volumeMm3: 212.4,
  greatestMm: 2.28,
  meanMm: 0.92,
  footprintMm2: 96.3,
  heightMm: 7.5,
}
/** Facially bare down to 2 mm; brought to 2 mm of bone, of which 1.75 remain. */
const before = told(facially((depthMm) => 1.5 + depthMm / 4))
const graft: GraftAssessment = {
  spec: wanted,
  built: size,
  kept: { ...size, volumeMm3: 185.9 },
  depthsMm: [],
  anglesDeg: [],
  innerMm: [],
  outerMm: [],
  keptMm: [],
  outlines: { built: [], kept: [] },
  after: cover(facially(() => 4.25)),
  afterLoss: cover(facially(() => 4)),
  walls: { sides: [], count: 3 },
  openRays: 0,
  cappedMm: 0,
  classes: [],
  timing: { simultaneous: [], staged: [] },
}

function said(change: Partial<GraftAssessment> = {}, verticalMm = 0) {
  const findings = graftFindings(
    {
      planned: true,
      graft: { ...graft, ...change },
      wanted,
      needed: size,
      verticalMm,
    },
    before,
    limits,
  )
  return {
    codes: findings.map(({ code }) => code),
    of: (code: string) => findings.find((finding) => finding.code === code),
  }
}

test('how much, in mm3 and cc, and what of it is expected to remain', () => {
  expect(said().of('graft')).toMatchObject({
    level: 'note',
    value: 212.4,
    unit: 'mm3',
    text: 'The planned graft comes to 212 mm³ (0.21 cc), at most 2.3 mm thick, 0.9 mm on average, over 96 mm² and 7.5 mm of height.',
  })
  const kept = said().of('graft-kept')
  expect(kept?.text).toBe(
    '186 mm³ (0.19 cc) of it are expected to remain: 12.5 % of the thickness is taken to resorb, for which it is built thicker.',
  )
  expect(kept?.source).toMatch(/12\.48 %.*7\.20 %.*Gultekin 2016.*0\.60 to 0\.80 mm.*PMC4728796.*from memory/)
  const mm = said({ spec: { ...wanted, loss: { kind: 'mm', mm: 0.7 }, overbuilt: false } }).of('graft-kept')
  expect(mm?.text).toBe(
    '186 mm³ (0.19 cc) of it are expected to remain: 0.70 mm of the thickness is taken to resorb.',
  )
})

describe('margins with the graft', () => {
  test('what remains is held against the limits, before and as built told beside it', () => {
    expect(said().of('graft-margin-facial')).toMatchObject({
      level: 'met',
      value: 2,
      limit: 2,
      text: 'With the graft the least facial bone is 2.25 mm (before −0.50 ± 0.20 mm) and 2.00 ± 0.20 mm after the expected loss, at least the wanted 2 mm.',
    })
    expect(said().of('graft-margin-other')).toMatchObject({ level: 'met', value: 2, limit: 1.5 })
  })

  test.each([
    [3.5, 'between', 2],
    [2.9, 'below', 1],
  ] as const)('bone left to %d mm from the axis', (mm, level, limit) => {
    expect(said({ afterLoss: cover(facially(() => mm)) }).of('graft-margin-facial')).toMatchObject({
      level,
      limit,
    })
  })

  test('the dehiscence before, with it and after the loss', () => {
    expect(said().of('graft-bare')).toMatchObject({
      level: 'met',
      value: 0,
      text: "The dehiscence goes from 2.0 to 0.0 mm, after the expected loss 0.0 mm; bone and graft cover 100 % of the fixture's side then.",
    })
    const left = said({ afterLoss: cover(facially((depthMm) => 1.75 + depthMm / 4)) }).of('graft-bare')
    expect(left).toMatchObject({ level: 'below', limit: 0 })
    expect(left?.value).toBeCloseTo(1, 9)
  })
})

describe('cautions', () => {
  test('none for an ordinary graft', () => {
    expect(said().codes).toEqual([
      'graft',
      'graft-kept',
      'graft-margin-facial',
      'graft-margin-other',
      'graft-bare',
      'graft-bulk',
    ])
  })

  test('thicker than mean published gains across: 3.90 mm (3.52 to 4.28), Sanz-Sánchez 2015', () => {
    expect(said({ built: { ...size, greatestMm: 3.9 } }).of('graft-thick')).toBeUndefined()
    expect(said({ built: { ...size, greatestMm: 4 } }).of('graft-thick')).toMatchObject({
      level: 'caution',
      limit: 3.9,
      source: 'Sanz-Sánchez 2015, J Dent Res 94:128S',
    })
  })

  test('higher than mean published gains in height: 4.16 mm (3.72 to 4.61), Urban 2019', () => {
    expect(said({}, 4.1).of('graft-high')).toBeUndefined()
    expect(said({}, 4.2).of('graft-high')).toMatchObject({ level: 'caution', limit: 4.16 })
  })

  test('a contour that keeps it thinner than wanted, and rays without data', () => {
    expect(said({ cappedMm: 0.004 }).of('graft-capped')).toBeUndefined()
    expect(said({ cappedMm: 0.31 }).of('graft-capped')).toMatchObject({ level: 'caution', value: 0.31 })
    expect(said({ openRays: 3 }).of('graft-open')).toMatchObject({ level: 'caution', value: 3, unit: 'rays' })
  })

  test('a net volume; particulate needs more bulk, at a single tooth usually 0.25 to 0.5 cc', () => {
    expect(said().of('graft-bulk')?.text).toMatch(/particulate needs more bulk.*0\.25 to 0\.5 cc/)
  })
})

describe('without a graft', () => {
  const without = (planned: boolean, needed: GraftSize | null) =>
    graftFindings({ planned, graft: null, wanted, needed, verticalMm: 0 }, before, limits)

  test('what one to the wanted margins would take', () => {
    expect(without(false, size)).toMatchObject([
      {
        code: 'graft-needed',
        level: 'note',
        value: 212.4,
        text: 'A graft to 2 mm facially and 1 mm on the other sides would take 212 mm³ (0.21 cc), at most 2.3 mm thick, 0.9 mm on average, over 96 mm² and 7.5 mm of height, without what resorbs. Another place or tilt of the fixture may take less.',
      },
    ])
  })

  test('nothing where nothing is wanting, but for a planned graft that comes to nothing', () => {
    expect(without(false, null)).toEqual([])
    expect(without(true, null).map(({ code }) => code)).toEqual(['graft-nothing'])
  })
})
