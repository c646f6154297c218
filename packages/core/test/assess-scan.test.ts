import { describe, expect, test } from 'vitest'
import {
  type Assessment,
  assess,
  boneModel,
  type ConfirmedGeometry,
  type Finding,
  type Plan,
  type ScanRemark,
  type Volume,
  withScan,
} from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'
import { withSlicesMissing } from './with-slices-missing.js'

const volume = ridge()
const bone = boneModel(volume)
const sliceAt = (zMm: number) => Math.round((zMm - volume.indexToWorld[14]) / 0.2)

/** The assessment of a scan with the same voxels and something else to know about it. */
function on(change: Partial<Volume>, plan: Plan = uprightPlan()): Assessment {
  const changed = { ...volume, ...change }
  return assess(changed, plan, { bone: { ...bone, volume: changed } })
}

const byCode = ({ findings }: Assessment, code: string): Finding | undefined =>
  findings.find((f) => f.code === code)

const remarks: readonly ScanRemark[] = [
  { level: 'warn', code: 'half-resolution', text: 'Loaded at half resolution (voxels 0.4 mm)' },
  { level: 'note', code: 'padding', text: 'Declared padding counts as no data' },
  { level: 'warn', code: 'code-of-a-later-version', text: 'Something new', facts: { shareOfIt: 0.2 } },
]

describe('the scan in an assessment', () => {
  test('identity, voxel size, unit and every remark are in it', () => {
    const { scan } = on({ remarks })
    expect(scan).toEqual({
      ...volume.identity,
      spacingMm: volume.spacingMm,
      unit: 'grey value',
      remarks,
    })
  })

  test('every warning is a caution with its words, a note is none', () => {
    const assessment = on({ remarks })
    for (const { level, code, text } of remarks)
      if (level === 'warn')
        expect(byCode(assessment, `scan-${code}`)).toMatchObject({ level: 'caution', text, value: null })
      else expect(byCode(assessment, `scan-${code}`)).toBeUndefined()
  })

  test('a scan with nothing to know about has no such caution', () => {
    const found = on({}).findings.filter(({ code }) => code.startsWith('scan-'))
    expect(found).toEqual([])
  })
})

const confirmed: ConfirmedGeometry = {
  pixelSpacingMm: [0.3, 0.25],
  sliceStepMm: 0.4,
  orientation: { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] },
  how: { 'pixel-spacing': 'known-length', 'slice-step': 'from-header', orientation: 'chosen' },
}
const identity = { seriesUid: '1.2.3', frameOfReferenceUid: '1.2.4', fingerprint: 'f' }
const warned: ScanRemark = { level: 'warn', code: 'geometry-confirmed', text: 'Confirmed by a person' }

describe('geometry that a person confirmed', () => {
  test('a caution says what rests on it and how it was confirmed, once', () => {
    const assessment = on({ confirmed, remarks: [warned] })
    expect(assessment.scan.confirmed).toEqual(confirmed)
    const cautions = assessment.findings.filter(({ code }) => code === 'scan-geometry-confirmed')
    expect(cautions).toHaveLength(1)
    expect(cautions[0]).toMatchObject({
      level: 'caution',
      text:
        'Not given by the file but confirmed by a person: ' +
        'pixel spacing 0.3 x 0.25 mm (by a known length in the picture), on which all lengths across the slices rest; ' +
        'slice step 0.4 mm (taken from another place of the header), on which all lengths along the stack of slices rest; ' +
        'orientation (chosen by looking), on which left and right, front and back, up and down rest.',
    })
  })

  test('only what was confirmed is named; without how, that is left out', () => {
    expect(byCode(on({ confirmed: { sliceStepMm: 0.5, how: {} } }), 'scan-geometry-confirmed')?.text).toBe(
      'Not given by the file but confirmed by a person: slice step 0.5 mm, on which all lengths along the stack of slices rest.',
    )
  })

  const plan = withScan(uprightPlan(), { identity, remarks: [], confirmed })

  test('a plan made with the same is in order, rounding and the way of confirming aside', () => {
    const again = { ...confirmed, sliceStepMm: 0.4 + 1e-9, how: { 'slice-step': 'typed' } } as const
    expect(byCode(on({ identity, confirmed: again }, plan), 'scan-geometry-differs')).toBeUndefined()
    expect(byCode(on({ identity, confirmed }), 'scan-geometry-differs')).toBeUndefined()
  })

  for (const [name, now, says] of [
    [
      'another pixel spacing and sides',
      {
        ...confirmed,
        pixelSpacingMm: [0.3, 0.3],
        orientation: { row: [-1, 0, 0], column: [0, 1, 0], slice: [0, 0, -1] },
      },
      /pixel spacing 0\.3 x 0\.25 mm then, 0\.3 x 0\.3 mm now; orientation \(1, 0, 0\) \(0, 1, 0\) \(0, 0, 1\) then, \(-1, 0, 0\) \(0, 1, 0\) \(0, 0, -1\) now\./,
    ],
    [
      'a slice step that the file gives now',
      { pixelSpacingMm: confirmed.pixelSpacingMm, orientation: confirmed.orientation, how: {} },
      /when the plan was made: slice step 0\.4 mm then, from the file now\./,
    ],
    [
      'nothing confirmed now',
      undefined,
      /orientation \(1, 0, 0\) \(0, 1, 0\) \(0, 0, 1\) then, from the file now/,
    ],
  ] as [string, ConfirmedGeometry | undefined, RegExp][])
    test(`${name}: a caution`, () => {
      const finding = byCode(
        on({ identity, ...(now ? { confirmed: now } : {}) }, plan),
        'scan-geometry-differs',
      )
      expect(finding?.level).toBe('caution')
      expect(finding?.text).toMatch(says)
    })
})

test('a plan of the same series loaded otherwise is told from one of another series', () => {
  const plan = withScan(uprightPlan(), { identity, remarks: [] })
  expect(byCode(on({ identity }, plan), 'scan-mismatch')).toBeUndefined()
  expect(byCode(on({ identity: { ...identity, fingerprint: 'g' } }, plan), 'scan-mismatch')?.text).toMatch(
    /this series loaded in another way/,
  )
  expect(byCode(on({ identity: { ...identity, seriesUid: '9' } }, plan), 'scan-mismatch')?.text).toMatch(
    /made on another scan: check that it belongs to this patient/,
  )
})

describe('missing data round the fixture', () => {
  const missing = (planes: readonly number[], axis: 0 | 1 | 2 = 2) =>
    assess(withSlicesMissing(volume, planes, axis), uprightPlan())

  test('slices missing through it: how many rays, margins only of the others, said everywhere', () => {
    const planes = [0, 1, 2].map((n) => sliceAt(5) + n)
    const assessment = missing(planes)
    const { margin, density } = assessment
    const without = margin.state.flat().filter((state) => state === 'no-data').length
    // Three slices of 0.2 mm and a voxel on either side: 3 or 4 of the 41 rows of 72 rays, 0.25 mm apart.
    expect(without).toBeGreaterThanOrEqual(3 * 72)
    expect(without).toBeLessThanOrEqual(4 * 72)
    expect(margin.radialMm.flat().filter((r) => r !== null).length).toBe(
      margin.state.flat().filter((state) => state === 'bone').length,
    )
    expect(byCode(assessment, 'margin-no-data')).toMatchObject({
      level: 'caution',
      text: `${without} of 2952 rays round the fixture meet missing data, or the end of the scan, before the outside of bone and give no number. The margins are those of the other rays.`,
    })
    const { facial } = margin.sectors
    expect(facial?.rays).toBe(738)
    // Rows 20 and 21 lie in the gap with their 18 facial rays; beside it the surface is lost, the bone before it is not.
    const open = facial?.openRays ?? 0
    expect(open).toBeGreaterThanOrEqual(36)
    expect(open).toBeLessThan(4 * 18)
    expect(byCode(assessment, 'margin-facial')).toMatchObject({ level: 'caution' })
    expect(byCode(assessment, 'margin-facial')?.text).toMatch(
      new RegExp(
        `^Least facial bone 2\\.0\\d ± 0\\.\\d\\d mm where measured, at least the wanted 2 mm; 2 mm lies within the interval; ${open} of 738 rays there meet missing data, so it may be less\\.$`,
      ),
    )
    expect(byCode(assessment, 'margin-nearest')).toMatchObject({ level: 'caution' })
    expect(byCode(assessment, 'margin-nearest')?.text).toMatch(
      /from the fixture at its nearest where measured\.$/,
    )
    expect(density.noDataShare.shell).toBeGreaterThan(0.05)
    expect(density.noDataShare.shell).toBeLessThan(0.1)
    expect(byCode(assessment, 'density')?.text).toMatch(/; [5-9] % of that holds no data\.$/)
    expect(byCode(assessment, 'dehiscence')).toBeUndefined()
    expect(byCode(assessment, 'fenestration')).toBeUndefined()
  })

  test('slices missing beyond the wanted margin: a note, and the levels stand', () => {
    const assessment = missing([55 + 45], 1)
    expect(byCode(assessment, 'margin-no-data')).toMatchObject({ level: 'note' })
    expect(byCode(assessment, 'margin-facial')).toMatchObject({ level: 'met' })
    expect(Object.values(assessment.margin.sectors).map(({ openRays }) => openRays)).toEqual([0, 0, 0, 0])
  })

  test('a slice missing 5 mm from the fixture changes nothing but the scan', () => {
    const whole = on({})
    const taller = ridge(120)
    const assessment = assess(withSlicesMissing(taller, [sliceAt(15)]), uprightPlan())
    expect(byCode(assessment, 'margin-no-data')).toBeUndefined()
    expect(assessment.findings.map(({ code, level }) => [code, level])).toEqual(
      whole.findings.map(({ code, level }) => [code, level]),
    )
    expect(assessment.margin.state).toEqual(whole.margin.state)
  })

  test('a fixture exposed on both sides of a missing slice: the depth is as measured, and it may reach farther', () => {
    const plan = uprightPlan({ fixture: { ...uprightPlan().fixture, platform: [2.6, 0, 0] } })
    const assessment = assess(withSlicesMissing(volume, [sliceAt(4), sliceAt(4) + 1]), plan)
    expect(assessment.margin.exposureOpen).toBe(true)
    expect(assessment.margin.dehiscenceMm).toBeGreaterThan(3)
    expect(assessment.margin.dehiscenceMm).toBeLessThan(4)
    expect(byCode(assessment, 'dehiscence')?.text).toMatch(
      /Data is missing beside it: it may reach farther\.$/,
    )
    expect(byCode(assessment, 'margin-facial')).toMatchObject({ level: 'below' })
    const whole = on({}, plan)
    expect(whole.margin.dehiscenceMm).toBe(10)
    expect(whole.margin.exposureOpen).toBe(false)
  })

  test('all of it in missing data: nothing is measured', () => {
    const assessment = missing(Array.from({ length: 60 }, (_, n) => sliceAt(-1) + n))
    expect(assessment.margin.minimum).toBeNull()
    expect(new Set(assessment.margin.state.flat())).toEqual(new Set(['no-data']))
    expect(assessment.density.shell).toBeNull()
    expect(assessment.density.noDataShare).toEqual({ core: 1, shell: 1 })
    expect(byCode(assessment, 'margin-facial')).toBeUndefined()
    expect(byCode(assessment, 'margin')?.text).toMatch(/where data is missing/)
  })

  test('no text of it promises safety', () => {
    expect(JSON.stringify(missing([sliceAt(5)])).toLowerCase()).not.toContain('safe')
  })
})
