import { describe, expect, test } from 'vitest'
import { exposureFindings } from '../src/assess/exposure-findings.js'
import { shownInterval } from '../src/assess/interval.js'
import { resolveLimits } from '../src/assess/limits.js'
import { marginFindings } from '../src/assess/margin-findings.js'
import { marginResult } from '../src/assess/margin-result.js'
import { rayFindings } from '../src/assess/ray-findings.js'
import { sectorsOf } from '../src/assess/sectors.js'
import { type BoneMargin, boneModel, FLAG_BITS, fixtureProfile } from '../src/index.js'
import { type BoneAt, mapOf, marginOf, plate } from './closed-map.js'
import { ridge } from './ridge-scene.js'

// What is said of maps in closed form.

const tooth = '11'
const bone = boneModel(ridge())
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
const limits = resolveLimits(tooth, {})

function said(boneAt: BoneAt, told: Partial<BoneMargin> = {}) {
  const margin = marginResult(
    marginOf(mapOf(boneAt, profile), profile, told),
    profile,
    sectorsOf(tooth),
    limits,
    shownInterval(bone),
  )
  const findings = [
    ...marginFindings(margin, limits),
    ...exposureFindings(margin, tooth),
    ...rayFindings(margin, tooth),
  ]
  return {
    codes: findings.map(({ code }) => code),
    of: (code: string) => findings.find((finding) => finding.code === code),
    text: JSON.stringify(findings),
  }
}

/** One ray of each column carries the flag. */
const flagged = (bits: number, columns: readonly number[], rows = 1): Partial<BoneMargin> => {
  const flags = new Uint8Array(41 * 72)
  for (const column of columns) for (let row = 0; row < rows; row++) flags[row * 72 + column] = bits
  return { flags }
}

describe('the interval and the way of measuring', () => {
  test('the floor of the interval is said with its reason and its source', () => {
    expect(said(() => 4).of('interval')).toMatchObject({
      level: 'note',
      value: 0.1,
      unit: 'mm',
      text: 'The ± are 95 % intervals of reading these voxels. At least ± 0.10 mm is shown: half a voxel of 0.2 mm, and what phantoms cannot show, motion, scatter and metal.',
    })
    expect(said(() => 4).of('interval')?.source).toMatch(/Timock 2011.*Spin-Neto 2016/)
  })

  test('coarser voxels raise it, finer ones do not lower it', () => {
    const scan = (spacingMm: [number, number, number]) =>
      shownInterval({ ...bone, volume: { ...bone.volume, spacingMm } })
    expect(scan([0.3, 0.3, 0.5])).toMatchObject({ floorMm: 0.25 })
    expect(scan([0.3, 0.3, 0.5]).why).toMatch(/^At least ± 0\.25 mm is shown: half a voxel of 0\.5 mm, and/)
    expect(scan([0.08, 0.08, 0.08]).why).toMatch(/^At least ± 0\.10 mm is shown: what phantoms cannot show/)
  })

  test('fast and refined are told apart', () => {
    expect(said(() => 4).of('measured')?.text).toMatch(/^Measured fast, as while the fixture is moved/)
    expect(said(() => 4, { mode: 'refined' }).of('measured')?.text).toMatch(/^Refined measurement/)
  })

  test('a sector has the interval of its own least ray', () => {
    const map = mapOf((_, a) => (a === 180 ? 3 : 4), profile)
    const halfWidthMm = map.radialMm.map((r) => (r < 1.5 ? 0.3 : 0.02))
    const { of } = said((_, a) => (a === 180 ? 3 : 4), { halfWidthMm })
    expect(of('margin-palatal')?.text).toBe(
      'Least palatal bone 1.00 ± 0.32 mm, below the wanted 1.5 mm; 1 mm lies within the interval.',
    )
    expect(of('margin-mesial')?.text).toBe('Least mesial bone 2.00 ± 0.10 mm, at least the wanted 1.5 mm.')
  })

  test('a limit within the interval is said to be', () => {
    expect(said(() => 3.6).of('margin-mesial')?.text).toBe(
      'Least mesial bone 1.60 ± 0.20 mm, at least the wanted 1.5 mm; 1.5 mm lies within the interval.',
    )
    expect(said(() => 2.9).of('margin-mesial')?.text).toBe(
      'Least mesial bone 0.90 ± 0.20 mm, below 1 mm; 1 mm lies within the interval; thin, may be unreliable.',
    )
    const { of } = said(() => 3.2, { halfWidthMm: new Float64Array(41 * 72).fill(0.4) })
    expect(of('margin-mesial')?.text).toBe(
      'Least mesial bone 1.20 ± 0.41 mm, below the wanted 1.5 mm; 1 and 1.5 mm lie within the interval.',
    )
    expect(said(() => 2.5).of('margin-mesial')?.text).not.toMatch(/within/)
  })

  test('bone beyond the apex, where it is known', () => {
    expect(said(() => 4, { aboveApexMm: 3.217 }).of('bone-beyond-apex')).toMatchObject({
      level: 'note',
      value: 3.217,
      text: '3.22 ± 0.20 mm of bone on the axis beyond the apex.',
    })
    expect(said(() => 4).codes).not.toContain('bone-beyond-apex')
  })
})

describe('where bone does not cover the fixture', () => {
  // A plate tilted by 10 deg, 1.4 mm from the axis at the platform: bare down to (2 - 1.4) / tan 10 = 3.40 mm,
  // 4 acos(0.7) = 3.18 mm wide at the platform.
  const tilt = Math.tan((10 * Math.PI) / 180)
  const leaning = plate((z) => 1.4 + z * tilt)

  test('a dehiscence: height with what the interval makes of it, width, area, side', () => {
    const finding = said(leaning).of('dehiscence')
    expect(finding?.level).toBe('below')
    expect(Math.abs((finding?.value ?? 0) - 0.6 / tilt)).toBeLessThan(0.02)
    // 0.2 mm more or less: (0.6 -+ 0.2) / tan 10 = 2.27 and 4.54 mm.
    expect(finding?.text).toMatch(
      /^Dehiscence: the fixture is uncovered from the platform down to 3\.4 mm \(2\.3 to 4\.5 mm if every margin were 0\.20 mm larger or smaller\)\. Facial 3\.4 mm high, up to 3\.2 mm wide, 7\.\d mm²\.$/,
    )
    expect(finding?.source).toMatch(/Patcas 2012.*from memory/)
  })

  test('a fenestration: area and place', () => {
    const hole = plate((z) => 1.8 + 0.1 * (z - 6) ** 2, 40)
    const finding = said(hole).of('fenestration')
    // Bare where 0.1 (z - 6)^2 < 0.2: 1.41 mm to either side of 6 mm; 4 acos(d / 2) added up over that is 4.00 mm2.
    expect(finding?.text).toMatch(
      /^Fenestration: 4\.0 mm² of the fixture is uncovered below the platform \(all that is uncovered comes to 0\.0 to \d\.\d mm² if every margin were 0\.20 mm larger or smaller\)\. Facial 4\.0 mm², 4\.6 to 7\.4 mm below the platform, about 40 deg mesial of facial\.$/,
    )
    expect(said(hole).codes).not.toContain('dehiscence')
  })

  test('the largest are told one by one, the others together', () => {
    const holes: BoneAt = (z, a) => ([2, 4, 6, 8].includes(z) && a % 60 === 0 ? 1.9 : 4)
    const text = said(holes).of('fenestration')?.text ?? ''
    expect(text).toMatch(/; 21 more of 0\.\d mm² together\.$/)
    expect(text.match(/mm below the platform, about/g)).toHaveLength(3)
  })

  test('beside missing data it may reach farther', () => {
    const text = said((z, a) => (z > 2 && z < 3 ? 'no-data' : leaning(z, a))).of('dehiscence')?.text
    expect(text).toMatch(/Data is missing beside it: it may reach farther\.$/)
  })

  test('how much of the side is in bone, and how sure', () => {
    // The strip of a plate 1 mm away is 4 acos(1 / 2) = 4.19 of 12.57 mm wide: a third of the side.
    expect(said(plate(() => 1)).of('in-bone')?.text).toMatch(
      /^Bone covers 67 % of the fixture's side \(6[45] % to (69|70) % within the interval\): 84 of 126 mm² measured\.$/,
    )
    expect(said(() => 4).of('in-bone')?.text).toBe(
      "Bone covers 100 % of the fixture's side: 126 of 126 mm² measured.",
    )
  })
})

describe('rays that are less sure', () => {
  test('through a tooth, perhaps: how many, where, and what to do', () => {
    const finding = said(() => 4, flagged(FLAG_BITS.tooth, [17, 18, 54])).of('margin-tooth')
    expect(finding).toMatchObject({ level: 'caution', value: 3, unit: 'rays' })
    expect(finding?.text).toBe(
      '3 of 2952 rays (mesial 2, distal 1) may run through a tooth: the scan cannot show a gap of 0.2 mm between root and bone, so the margin there may be too large. Look at the section.',
    )
  })

  test('through a narrow opening', () => {
    expect(said(() => 4, flagged(FLAG_BITS.leak, [0, 1])).of('margin-leak')).toMatchObject({
      level: 'caution',
      value: 2,
    })
  })

  test('plates too thin to measure: their share and the sigma', () => {
    expect(
      said(() => 4, { ...flagged(FLAG_BITS.thin, [0, 1, 2, 3], 41), blurMm: 0.26 }).of('plate-thin')?.text,
    ).toMatch(
      /^On 6 % of the rays \(164 of 2952\) the cortical plate is thinner than 1\.5 sigma of the blur here \(sigma 0\.26 mm, so about 0\.39 mm\): its thickness cannot be measured\.$/,
    )
  })

  test('not refined: the fast number stands', () => {
    expect(said(() => 4, flagged(FLAG_BITS.unrefined, [5])).of('margin-unrefined')).toMatchObject({
      level: 'note',
      value: 1,
    })
  })

  test('an axis outside bone, with its depths, and no surface within range', () => {
    const { of } = said((z, a) => (z < 1.9 ? 'axis-outside' : a < 90 ? 'no-surface' : 4))
    expect(of('axis-outside')?.text).toBe(
      'The axis itself is outside bone between 0.0 and 1.8 mm below the platform: no radial margin there, and the fixture counts as uncovered.',
    )
    expect(of('margin-no-surface')).toMatchObject({ level: 'note', value: 33 * 18 })
  })

  test('nothing of it where there is nothing of it', () => {
    expect(said(() => 4).codes).toEqual([
      'margin-facial',
      'margin-mesial',
      'margin-palatal',
      'margin-distal',
      'margin-nearest',
      'measured',
      'interval',
      'in-bone',
    ])
  })
})

test('no text promises safety', () => {
  for (const boneAt of [() => 4, plate(() => 1), () => 'axis-outside', () => 'no-data'] as BoneAt[])
    expect(said(boneAt, flagged(15, [0, 20, 40, 60])).text.toLowerCase()).not.toContain('safe')
})
