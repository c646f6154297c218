import { describe, expect, test } from 'vitest'
import { emergenceFindings } from '../src/assess/emergence-findings.js'
import { resolveLimits } from '../src/assess/limits.js'
import {
  type Assessment,
  type AssessOptions,
  accessChannel,
  angledChannel,
  assess,
  boneModel,
  emergence,
  fromFrame,
  type Plan,
  placedCrown,
  toRows,
} from '../src/index.js'
import { block } from './block-crown.js'
import { apicalFor, uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'
import { squareCrown } from './square-crown.js'

const volume = ridge()
const bone = boneModel(volume)
const measure = (plan: Plan, options: AssessOptions = {}): Assessment =>
  assess(volume, plan, { bone, ...options })

const upright = uprightPlan()
const fixtureAt = (x: number, facialDeg = 0): Plan['fixture'] => ({
  ...upright.fixture,
  platform: [x, 0, 0],
  apical: apicalFor(facialDeg),
})

/** A block for a crown, `half` mm to each side, its top `heightMm` above the platform and its neck 5 mm below that. */
const blockPlan = (heightMm: number, fixture = fixtureAt(0), limits: Record<string, number> = {}): Plan =>
  uprightPlan({
    crown: {
      kind: 'mesh',
      file: 'block',
      pose: toRows(fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 5 - heightMm])),
    },
    fixture,
    limits,
  })

const CROWN_CODES = [
  'exit',
  'correction',
  'channel-wall',
  'platform-depth',
  'crown-height',
  'emergence',
  'platform-place',
]
const crownFindings = ({ findings }: Assessment) => findings.filter(({ code }) => CROWN_CODES.includes(code))
const findingOf = (assessment: Assessment, code: string) =>
  assessment.findings.find((finding) => finding.code === code)

/** Every place in a document that holds a number that is none; undefined would be lost in JSON as well. */
function notNumbers(value: unknown, path = ''): string[] {
  if (value === undefined) return [path]
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path]
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) => notNumbers(inner, `${path}.${key}`))
}

/** As JSON knows it, which has no negative zero. */
const withoutNegativeZero = (value: unknown): unknown => {
  if (typeof value === 'number') return value + 0
  if (Array.isArray(value)) return value.map(withoutNegativeZero)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, withoutNegativeZero(inner)]))
}

describe('the crown in an assessment', () => {
  const plan = uprightPlan({
    fixture: fixtureAt(-0.5, -6),
    site: { ...upright.site, neighbours: { mesial: { cej: [1, 6, -1.2] }, distal: { cej: [1, -6, -1] } } },
  })

  test('is what the parts of the library measure one by one, with the limits of the plan', () => {
    const limits = { channelDiameterMm: 2.6, bendPivotMm: 2, wantedPalatalMm: 2, leastWallMm: 0.5 }
    const changed = { ...plan, limits }
    const found = measure(changed)
    const question = { ...placedCrown(plan, undefined), fixture: plan.fixture, site: plan.site, limits }
    expect(found.channel).toEqual(accessChannel(question))
    expect(found.channel.diameterMm).toBe(2.6)
    expect(found.angled).toEqual(angledChannel(question))
    expect(found.emergence).toEqual(emergence({ ...question, fixture: { ...plan.fixture, radiusMm: 2 } }))
  })

  test('depth, neighbours and room are those of the plan: platform 3.5 mm under the cervical centre', () => {
    const { emergence } = measure(plan)
    expect(emergence.belowMesialCejMm).toBeCloseTo(1.2, 9)
    expect(emergence.belowDistalCejMm).toBeCloseTo(1, 9)
    expect(emergence.crownHeightMm).toBeCloseTo(3.5 + 10.5, 6)
  })

  test('the radius at the platform is that of the profile, not of the body', () => {
    const points = [
      [0, 1.5],
      [2, 2.2],
      [10, 1.2],
    ] as const
    const fixture = { ...fixtureAt(0), shape: { kind: 'profile' as const, points } }
    const { profile } = measure(blockPlan(10, fixture), { crownMesh: block(5, 3) }).emergence
    const { rim } = profile[0]
    expect(rim[0]).toBeCloseTo(1.5, 9)
  })

  test('as JSON it comes back whole: no number lost, nothing left out', () => {
    const found = measure(plan)
    expect(JSON.parse(JSON.stringify(found))).toEqual(withoutNegativeZero(found))
    expect(notNumbers(found)).toEqual([])
    for (const part of ['exit', 'channel', 'angled', 'emergence', 'retention'])
      expect(Object.keys(found)).toContain(part)
  })

  test('every finding on it has a value in its own unit, a limit and a source', () => {
    for (const { code, value, limit, unit, source, text } of crownFindings(measure(plan))) {
      expect([code, typeof value, typeof limit]).toEqual([code, 'number', 'number'])
      expect(unit).toMatch(/^(mm|deg)$/)
      expect(source.length).toBeGreaterThan(10)
      expect(text.length).toBeLessThan(230)
    }
  })

  test('each thing is told once', () => {
    const codes = crownFindings(measure(uprightPlan({ fixture: fixtureAt(0, 12) }))).map(({ code }) => code)
    expect([...codes].sort()).toEqual([...CROWN_CODES].sort())
  })
})

describe('findings in closed form under blocks', () => {
  const of = (
    code: string,
    heightMm: number,
    halfMm: number,
    fixture = fixtureAt(0),
    limits: Record<string, number> = {},
  ) => findingOf(measure(blockPlan(heightMm, fixture, limits), { crownMesh: block(5, halfMm) }), code)

  /** The fixture told in the crown's frame: the crown is 10.5 mm high and its margin 3 mm away unless told. */
  const under = (code: string, platform: readonly [number, number, number], half = 3) => {
    const fixture = { platform, apical: [0, 0, 1] as const, radiusMm: 2 }
    const pose = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])
    const found = emergence({ crown: squareCrown(half), pose, fixture, site: {} })
    return emergenceFindings('11', found, resolveLimits('11', {})).find((f) => f.code === code)
  }

  test.each([
    [3.5, 'met', 3],
    [3, 'met', 3],
    [2.5, 'below', 3],
    [4.6, 'below', 4],
  ])('a platform %d mm below the margin', (depthMm, level, limit) => {
    expect(under('platform-depth', [0, 0, depthMm])).toMatchObject({
      level,
      limit,
      value: depthMm,
      text: `The platform lies ${depthMm.toFixed(2)} mm below the planned margin; wanted 3 to 4 mm.`,
    })
  })

  test.each([
    [-7, 3.5, 'below', 4],
    [-4.5, 6, 'between', 7],
    [-2.5, 8, 'met', 7],
  ])('a platform at %d mm has a crown height of %d mm', (z, heightMm, level, limit) => {
    expect(under('crown-height', [0, 0, z])).toMatchObject({ level, limit, value: heightMm, unit: 'mm' })
  })

  test('steepest across the corners: atan((2.5 sqrt 2 - 2) / 3.5) = 23.7 deg met, (3 sqrt 2 - 2) / 3.5 = 32.7 below', () => {
    const met = under('emergence', [0, 0, 3.5], 2.5)
    expect(met?.value).toBeCloseTo(23.69, 2)
    expect(met?.level).toBe('met')
    const steep = under('emergence', [0, 0, 3.5])
    expect(steep?.value).toBeCloseTo(32.65, 2)
    expect(steep).toMatchObject({ level: 'below', limit: 30 })
    expect(steep?.text).toMatch(
      /^Steepest emergence 32\.6 deg, (mesiofacial|mesiopalatal|distopalatal|distofacial); wanted at most 30 deg\.$/,
    )
  })

  test.each([
    [-1.2, 'below', 2, '2.20 mm palatal', ': the crown would lap over the ridge'],
    [-0.5, 'met', 1, '1.50 mm palatal', ''],
    [0.4, 'between', 1, '0.60 mm palatal', ''],
    [1.3, 'below', 0, '0.30 mm facial', ': the mucosa may recede'],
  ])('the facial rim of a platform at %d mm, the margin 3 mm facial', (x, level, limit, place, why) => {
    expect(under('platform-place', [x, 0, 3.5])).toMatchObject({
      level,
      limit,
      text: `The platform's facial rim lies ${place} of the crown's facial margin; wanted 1 to 2 mm palatal${why}.`,
    })
  })

  test('the wall between a channel of 2.3 mm and a face 2 mm away is 0.85 mm, from 1.9 mm away 0.75', () => {
    const kept = of('channel-wall', 8.5, 2)
    expect(kept?.value).toBeCloseTo(0.85, 6)
    expect(kept?.level).toBe('met')
    const thin = of('channel-wall', 8.5, 1.9)
    expect(thin?.value).toBeCloseTo(0.75, 6)
    expect(thin).toMatchObject({ level: 'below', limit: 0.8 })
    expect(of('channel-wall', 8.5, 1.9, fixtureAt(0), { channelDiameterMm: 2 })?.level).toBe('met')
  })

  test('the correction is the bend, held against 25 and 30 deg', () => {
    // atan(1.5 / (8 - 3)) = 16.7, atan(3 / 5) = 31.0, atan(2.5 / 5) = 26.6 deg.
    for (const [wantedPalatalMm, deg, level] of [
      [1.5, 16.7, 'met'],
      [2.5, 26.6, 'between'],
      [3, 31, 'below'],
    ] as const) {
      const finding = of('correction', 8, 12, fixtureAt(0), { wantedPalatalMm })
      expect(finding).toMatchObject({ level, limit: 25, unit: 'deg' })
      expect(Math.abs((finding?.value ?? 0) - deg)).toBeLessThan(0.06)
    }
  })
})

describe('what is told beside it', () => {
  const limits = resolveLimits('36', {})
  const fixture = { platform: [0, 0, 3.5], apical: [0, 0, 1], radiusMm: 2 } as const
  const pose = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])

  test('how deep the platform lies below the neighbours that are marked', () => {
    const site = { neighbours: { mesial: { cej: [0, 8, 2.3] }, distal: { cej: [0, -8, 4] } } } as const
    const found = emergence({ crown: squareCrown(3), pose, fixture, site })
    const [depth] = emergenceFindings('11', found, resolveLimits('11', {}))
    expect(depth.text).toBe(
      "The platform lies 3.50 mm below the planned margin; wanted 3 to 4 mm. It lies 1.20 mm below the mesial neighbour's cemento-enamel junction, and 0.50 mm above the distal neighbour's cemento-enamel junction.",
    )
    expect(depth.source).toMatch(/Buser.*about 1 mm below the neighbours'.*from memory/)
  })

  test('the orofacial band is for the upper front: of a lower molar the distance is only noted', () => {
    const found = emergence({ crown: squareCrown(5, '36'), pose, fixture, site: {} })
    const place = emergenceFindings('36', found, limits).find(({ code }) => code === 'platform-place')
    expect(place).toMatchObject({ level: 'note', value: 3, limit: null })
    expect(place?.text).toBe("The platform's facial rim lies 3.00 mm lingual of the crown's facial margin.")
  })

  test('a channel wider than the crown is open at a side', () => {
    const plan = blockPlan(8.5, fixtureAt(1.5))
    const wall = findingOf(measure(plan, { crownMesh: block(5, 2) }), 'channel-wall')
    // A line of the wall lies outside the block where cos a > (2 - 1.5) / 1.15: 64.2 deg to both sides, 36 % of it.
    expect(wall?.level).toBe('below')
    expect(wall?.text).toMatch(
      /^The access channel, 2\.3 mm wide, is open at a side: 3[4-7] % of its wall has no crown round it; wanted 0\.8 mm of wall\./,
    )
  })
})

describe('a crown that the axis misses', () => {
  const missed = measure(uprightPlan({ fixture: fixtureAt(30) }))

  test('has no exit, opening or wall', () => {
    const { exit, channel } = missed
    expect([exit.class, exit.point, exit.offsetMm, exit.channel]).toEqual([null, null, null, null])
    expect(channel).toEqual({
      diameterMm: 2.3,
      outline: null,
      closedShare: 0,
      areaMm2: null,
      centroid: null,
      wall: null,
    })
  })

  test('is one finding', () => {
    expect(crownFindings(missed)).toEqual([
      {
        code: 'exit',
        level: 'below',
        text: 'The access channel does not meet the crown: move the crown or the fixture.',
        value: null,
        limit: null,
        unit: '',
        source: '',
      },
    ])
  })

  test('leaves the ways told, both screwed ones closed', () => {
    expect(missed.retention.map(({ way, verdict }) => [way, verdict])).toEqual([
      ['screw-straight', 'closed'],
      ['screw-angled', 'closed'],
      ['cemented', 'reserve'],
    ])
  })
})

describe.each([
  ['upright', fixtureAt(0)],
  ['facial', fixtureAt(0, 15)],
  ['far away', fixtureAt(30)],
  ['turned over', { ...fixtureAt(0), apical: [0, 0, -1] }],
  ['lying mesially', { ...fixtureAt(0), apical: [0, 1, 0] }],
  ['above the crown', { ...fixtureAt(0), platform: [0, 0, -20] }],
  ['inside the crown', { ...fixtureAt(0), platform: [0, 0, -8] }],
] as const)('a fixture %s', (_, fixture) => {
  test('gives numbers or null, never anything that JSON would lose', () => {
    const found = measure(uprightPlan({ fixture }))
    expect(notNumbers(found)).toEqual([])
    expect(JSON.parse(JSON.stringify(found))).toEqual(withoutNegativeZero(found))
    const { profile, zenith, ...lengths } = found.emergence
    expect(profile).toHaveLength(8)
    expect(
      [...zenith, lengths.belowMarginMm, lengths.crownHeightMm, lengths.rimOralOfEmergenceMm].every(
        Number.isFinite,
      ),
    ).toBe(true)
    expect(found.retention.map(({ way }) => way)).toEqual(['screw-straight', 'screw-angled', 'cemented'])
    expect(JSON.stringify(found).toLowerCase()).not.toMatch(/nan|infinity|\bsafe/)
  })
})
