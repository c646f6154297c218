import { describe, expect, test } from 'vitest'
import {
  type Assessment,
  type AssessOptions,
  assess,
  boneModel,
  fromFrame,
  type Plan,
  readPlan,
  toRows,
  writePlan,
} from '../src/index.js'
import { block } from './block-crown.js'
import { apicalFor, uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'

const volume = ridge()
const bone = boneModel(volume)
const measure = (plan: Plan, options: AssessOptions = {}): Assessment =>
  assess(volume, plan, { bone, ...options })

/** A plan whose crown is a block with its flat top `heightMm` above the platform, measured along the crown. */
function flatTopped(heightMm: number, facialDeg: number, limits: Record<string, number> = {}) {
  const plan = uprightPlan({
    crown: {
      kind: 'mesh',
      file: 'block',
      pose: toRows(fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 5 - heightMm])),
    },
    fixture: {
      shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
      platform: [0, 0, 0],
      apical: apicalFor(facialDeg),
    },
    limits,
  })
  const { exit, angled } = measure(plan, { crownMesh: block(5) })
  return { ...exit, correctionDeg: angled.least?.correctionDeg ?? null }
}

// Tables of worked geometry: offset h tan(theta); correction atan(d / (h - pivot)).
describe('exit and bend of assess(...) on a flat-topped crown', () => {
  test('the exit lies h tan(tilt) facial of the edge line', () => {
    for (const [h, deg, offset] of [
      [6, 5, 0.52],
      [8, 10, 1.41],
      [10, 15, 2.68],
      [12, 25, 5.6],
      [14, 30, 8.08],
    ])
      expect(Math.abs((flatTopped(h, deg).offsetMm ?? Number.NaN) - offset)).toBeLessThanOrEqual(0.00501)
  })

  test('correction with the bend at the platform and 3 mm above it', () => {
    for (const [h, pivot, wanted, correction] of [
      [8, 0, 1.5, 10.6],
      [14, 0, 2, 8.1],
      [10, 0, 4, 21.8],
      [8, 3, 1.5, 16.7],
    ])
      expect(
        Math.abs(
          (flatTopped(h, 0, { bendPivotMm: pivot, wantedPalatalMm: wanted }).correctionDeg ?? Number.NaN) -
            correction,
        ),
      ).toBeLessThanOrEqual(0.051)
  })

  test('central incisor, edge 14 mm above the platform: classes, 3.75 mm and 21.1 or 26.8 deg at 15 deg facial tilt', () => {
    expect(flatTopped(14, 0).class).toBe('incisal')
    const palatal = flatTopped(14, -6.15)
    expect(palatal.class).toBe('palatal')
    expect(palatal.offsetMm).toBeCloseTo(-1.5, 1)
    const facial = flatTopped(14, 15, { bendPivotMm: 0 })
    expect(facial.class).toBe('facial')
    expect(Math.abs((facial.offsetMm ?? 0) - 3.75)).toBeLessThanOrEqual(0.00501)
    expect(Math.abs((facial.correctionDeg ?? 0) - 21.1)).toBeLessThanOrEqual(0.051)
    expect(Math.abs((flatTopped(14, 15).correctionDeg ?? 0) - 26.8)).toBeLessThanOrEqual(0.051)
  })
})

test('15 deg facial and 5 deg mesial tilt compose to 15.74 deg', () => {
  // atan sqrt(tan2 15 + tan2 5). +y is mesial in quadrant 1.
  const { exit } = measure(uprightPlan({ fixture: { ...uprightPlan().fixture, apical: apicalFor(15, 5) } }))
  expect(exit.tiltDeg).toBeCloseTo(15.74, 2)
  expect(exit.tiltFacialDeg).toBeCloseTo(15, 9)
  expect(exit.tiltMesialDeg).toBeCloseTo(5, 9)
})

test('on the tabulated crown the offset is h tan(tilt) with h where the channel really leaves', () => {
  for (const deg of [-12, -6, 0, 8, 15]) {
    const { exit } = measure(uprightPlan({ fixture: { ...uprightPlan().fixture, apical: apicalFor(deg) } }))
    const edgeOffset = measure(uprightPlan()).exit.offsetMm ?? 0
    expect((exit.offsetMm ?? 0) - edgeOffset).toBeCloseTo(
      (exit.exitHeightMm ?? 0) * Math.tan((deg * Math.PI) / 180),
      2,
    )
  }
})

test('tilting a 10 mm fixture moves its apex by L sin(tilt), read back through the margins', () => {
  // Printed: L 10: 2 deg 0.35, 5 deg 0.87, 10 deg 1.74 mm.
  for (const [deg, sway] of [
    [2, 0.35],
    [5, 0.87],
    [10, 1.74],
  ]) {
    const plan = uprightPlan({
      fixture: {
        shape: { kind: 'cylinder', diameterMm: 2, lengthMm: 10 },
        platform: [0, 0, 0],
        apical: apicalFor(deg),
      },
    })
    const { radialMm } = measure(plan).margin
    // Facial tilt of the channel takes the apex palatal, away from the plate at x = 4.
    const toPlate = ((radialMm[40][0] ?? Number.NaN) + 1) * Math.cos((deg * Math.PI) / 180)
    expect(Math.abs(toPlate - 4 - sway)).toBeLessThan(0.03)
  }
})

test('flat plate 3.5 mm from the axis, radius 2: radial 1.50, 2.04, 2.95 at 0, 30, 45 deg; nearest 1.50', () => {
  const plan = uprightPlan({ fixture: { ...uprightPlan().fixture, platform: [0.5, 0, 0] } })
  const { margin } = measure(plan)
  for (const [deg, radial] of [
    [0, 1.5],
    [30, 2.04],
    [45, 2.95],
    [330, 2.04],
  ])
    expect(Math.abs((margin.radialMm[20][deg / 5] ?? Number.NaN) - radial)).toBeLessThan(0.03)
  expect(Math.abs((margin.minimum?.nearestMm ?? Number.NaN) - 1.5)).toBeLessThan(0.02)
  expect(margin.depthsMm).toHaveLength(41)
  expect(margin.anglesDeg).toHaveLength(72)
  expect(margin.sectors.facial.limitMm).toBe(1)
  expect(Object.keys(margin.sectors).sort()).toEqual(['distal', 'facial', 'mesial', 'palatal'])
})

describe('findings', () => {
  test('a margin below its limit is said with number, uncertainty and source', () => {
    const plan = uprightPlan({ fixture: { ...uprightPlan().fixture, platform: [1.5, 0, 0] } })
    const finding = measure(plan).findings.find((f) => f.code === 'margin-facial')
    expect(finding?.level).toBe('below')
    expect(finding?.text).toMatch(
      /^Least facial bone 0\.\d\d ± 0\.\d\d mm, below 1 mm; thin, may be unreliable\.$/,
    )
    expect(finding?.source).not.toBe('')
  })

  test('an override of a limit is in force and says so', () => {
    const plan = uprightPlan({ limits: { facialMarginMm: 2.5, facialMarginTargetMm: 3 } })
    const finding = measure(plan).findings.find((f) => f.code === 'margin-facial')
    expect(finding).toMatchObject({ level: 'below', limit: 2.5 })
    expect(finding?.source).toMatch(/^set in the plan/)
  })

  test('an unknown limit is refused by name', () => {
    expect(() => measure(uprightPlan({ limits: { marginMM: 1 } }))).toThrow('limits.marginMM is not a limit')
  })

  test('a plan of another scan is pointed out', () => {
    const scan = { seriesUid: '1.2.3', frameOfReferenceUid: '' }
    const other = { ...volume, identity: { ...volume.identity, seriesUid: '1.2.4' } }
    const found = assess(other, uprightPlan({ scan }), { bone: { ...bone, volume: other } }).findings
    expect(found.map((f) => f.code)).toContain('scan-mismatch')
    expect(measure(uprightPlan()).findings.map((f) => f.code)).not.toContain('scan-mismatch')
  })

  test('outside the scan nothing is measured and that is said', () => {
    const away = uprightPlan({ fixture: { ...uprightPlan().fixture, platform: [200, 0, 0] } })
    const { margin, density, findings } = measure(away)
    expect(margin.minimum).toBeNull()
    expect(density.core).toBeNull()
    expect(findings.map((f) => f.code)).toEqual(expect.arrayContaining(['margin', 'density']))
  })

  test('no text promises safety', () => {
    const text = JSON.stringify(measure(uprightPlan()))
    expect(text.toLowerCase()).not.toContain('safe')
  })
})

test('the same plan read back from its own text gives the same assessment', () => {
  const plan = uprightPlan()
  expect(measure(readPlan(writePlan(plan)))).toEqual(measure(plan))
})
