import { describe, expect, test } from 'vitest'
import { densityResult } from '../src/assess/density-result.js'
import { sectorsOf } from '../src/assess/sectors.js'
import { boneSplit, CORTICAL } from '../src/bone/index.js'
import {
  assess,
  axisPoint,
  boneModel,
  coreSamples,
  type DensitySamples,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  type PlannedCalibration,
  radialDirection,
  refinedMargin,
  shellSamples,
  surfaceGrid,
} from '../src/index.js'
import { apicalFor, uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'

const volume = ridge()
const model = boneModel(volume)
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
const sectors = sectorsOf('11')
const grid = surfaceGrid(profile)

/** How far a sample lies facially, where the plates of the ridge are told apart. */
function facialMm(frame: ReturnType<typeof fixtureFrame>, samples: DensitySamples, n: number): number {
  const [x] = axisPoint(frame, samples.depthShares[n] * profile.lengthMm)
  return x + samples.radiiMm[n] * radialDirection(frame, samples.anglesDeg[n])[0]
}

describe('cortical and cancellous apart, facial plate of the ridge from x = 2 to 4 mm', () => {
  // Tilted, so that rays meet the plate 12 degrees off its normal and more: its thickness along them is 2 mm / cos.
  const frame = fixtureFrame({ platform: [1.6, 0, 0], apical: apicalFor(12) }, [1, 0, 0])
  const refined = refinedMargin(model, frame, profile, grid)

  test('by the fitted plate, to a few hundredths of a millimetre', () => {
    for (const samples of [coreSamples(model, frame, profile), shellSamples(model, frame, profile)]) {
      const { kinds, plateShare } = boneSplit(samples, model, profile, refined)
      // The rays along the ridge meet no surface: there it is told by grey.
      expect(plateShare).toBeGreaterThan(0.5)
      expect(plateShare).toBeLessThan(1)
      const facial = Array.from({ length: samples.count }, (_, n) => n).filter(
        (n) => Math.abs(((samples.anglesDeg[n] + 180) % 360) - 180) < 60,
      )
      const wrong = facial.filter((n) => (kinds[n] === CORTICAL) !== facialMm(frame, samples, n) > 2)
      const far = wrong.map((n) => Math.abs(facialMm(frame, samples, n) - 2))
      expect(Math.max(0, ...far)).toBeLessThan(0.05)
      expect(wrong.length / facial.length).toBeLessThan(0.01)
    }
  })

  test('by grey in the fast measurement, which says so', () => {
    const { calibration } = model
    const fast = fastMargin(model, frame, profile, grid)
    const shell = shellSamples(model, frame, profile)
    const { kinds, plateShare } = boneSplit(shell, model, profile, fast)
    expect(plateShare).toBe(0)
    const middle = (calibration.softGrey + calibration.cortexGrey) / 2
    for (let n = 0; n < shell.count; n++)
      if (shell.inBone[n] === 1) expect(kinds[n] === CORTICAL).toBe(shell.greys[n] > middle)
    expect(densityResult(model, frame, profile, sectors, undefined, fast).shell?.split).toBe('grey')
    expect(densityResult(model, frame, profile, sectors, undefined, refined).shell?.split).toBe('plate')
  })

  test('the plate is as bright as it was drawn, what lies behind it as dark', () => {
    const { core } = densityResult(model, frame, profile, sectors, undefined, refined)
    // 1500 and 400, their edge blurred by 0.25 mm on both sides.
    expect(core?.cortical?.p95).toBeGreaterThan(1480)
    expect(core?.cortical?.p95).toBeLessThan(1520)
    expect(Math.abs((core?.cancellous?.median ?? 0) - 400)).toBeLessThan(20)
  })
})

test('the parts of core and shell make up the whole', () => {
  const frame = fixtureFrame({ platform: [1.6, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const margin = fastMargin(model, frame, profile, grid)
  const { core, shell, bands, calibrated } = densityResult(model, frame, profile, sectors, undefined, margin)
  expect(bands).toBeNull()
  expect(calibrated).toBeNull()
  for (const part of [core, shell]) {
    if (part === null) throw new Error('no density')
    expect(Object.keys(part.sectors).sort()).toEqual(['distal', 'facial', 'mesial', 'palatal'])
    const ofSectors = Object.values(part.sectors)
    const cells = ofSectors.flatMap((sector) => Object.values(sector?.levels ?? {}))
    for (const parts of [Object.values(part.levels), ofSectors, cells]) {
      const mm3 = parts.reduce((sum, cell) => sum + (cell?.volumeMm3 ?? 0), 0)
      const grey = parts.reduce((sum, cell) => sum + (cell?.volumeMm3 ?? 0) * (cell?.mean ?? 0), 0)
      expect(mm3).toBeCloseTo(part.volumeMm3, 8)
      expect(grey / mm3).toBeCloseTo(part.mean, 8)
    }
    expect((part.cortical?.volumeMm3 ?? 0) + (part.cancellous?.volumeMm3 ?? 0)).toBeCloseTo(
      part.boneShare * part.volumeMm3,
      8,
    )
    expect(part.hu).toBeNull()
    expect(part.profile).toHaveLength(20)
    expect(part.profile[0].depthMm).toBe(0.25)
    expect(part.profile[19].depthMm).toBe(9.75)
    for (const { mean, p5, median, p95 } of part.profile) {
      expect(p5).toBeLessThan(median ?? 0)
      expect(median).toBeLessThan(p95 ?? 0)
      // The same field at every depth.
      expect(Math.abs((mean ?? 0) / part.mean - 1)).toBeLessThan(0.03)
    }
  }
})

describe('a plan with a calibration', () => {
  const calibration: PlannedCalibration = {
    points: [
      { what: 'air', grey: -1000, hu: -1000 },
      { what: 'soft tissue', grey: 0, hu: 40 },
    ],
  }
  const plain = assess(volume, uprightPlan(), { bone: model })
  const { density, findings } = assess(volume, uprightPlan({ calibration }), { bone: model })

  test('gives each mean in Hounsfield units beside its grey value', () => {
    // HU = 1.04 grey + 40.
    const parts = [density.core, density.shell, density.core?.levels.middle, density.shell?.sectors.facial]
    for (const part of parts) {
      expect(part?.hu?.hu).toBeCloseTo(1.04 * (part?.mean ?? Number.NaN) + 40, 8)
      expect(part?.boneHu?.hu).toBeCloseTo(1.04 * (part?.boneMean ?? Number.NaN) + 40, 8)
      expect(part?.hu?.halfWidthHu).toBeGreaterThan(98)
      expect(part?.hu?.beyondPoints).toBe(true)
    }
    expect(density.core?.mean).toBe(plain.density.core?.mean)
    expect(density.unit).toBe('grey value')
  })

  test('says how, and gives published classes with their sources', () => {
    expect(density.calibrated).toMatchObject({ points: calibration.points })
    expect(density.calibrated?.slope).toBeCloseTo(1.04, 12)
    expect(density.calibrated?.intercept).toBeCloseTo(40, 9)
    expect(density.calibrated?.text).toMatch(
      /^HU = 1\.040 × grey \+ 40, a straight line through 2 points set in the plan: air \(grey −1000 is −1000 HU\)/,
    )
    expect(density.calibrated?.text).toContain('SD of 50 HU')
    expect(density.bands?.shell.map(({ system }) => system)).toEqual([
      'Misch',
      'Norton & Gamble',
      'Rebaudi',
      'de Oliveira',
    ])
    for (const { source } of density.bands?.core ?? []) expect(source).toMatch(/from memory|quoted/)
    expect(findings.find(({ code }) => code === 'density-hu')?.text).toMatch(
      /^Mean \d+ ± \d+ HU, estimated, beyond the points of the calibration, within 0\.5 mm of the fixture\.$/,
    )
  })

  test('without one there are neither, whatever the file calls its numbers', () => {
    const grey = { ...volume.grey, unit: 'HU as written by the device, not calibrated' } as const
    const written = { ...volume, grey }
    const device = assess(written, uprightPlan(), { bone: { ...model, volume: written } })
    for (const { density: d, findings: found } of [plain, device]) {
      expect(d.calibrated).toBeNull()
      expect(d.bands).toBeNull()
      expect(d.shell?.hu).toBeNull()
      expect(found.map(({ code }) => code)).not.toContain('density-hu')
    }
    const text = ({ findings: found }: typeof plain) => found.find(({ code }) => code === 'density')?.text
    expect(text(plain)).toContain('grey value (not HU)')
    expect(text(device)).toContain('HU as written by the device, not calibrated')
  })
})
