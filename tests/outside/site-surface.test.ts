import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  assess,
  type BoneMargin,
  boneMargin,
  boneModel,
  fixtureProfile,
  type Plan,
  radiusAtMm,
  readPlan,
  type SurfaceGrid,
  surfacePoint,
  type Volume,
} from '@alveometer/core'
import { upperFront } from '@alveometer/phantom'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { beforeAll, describe, expect, test } from 'vitest'
import { extrudedScene } from '../accuracy/scenes/extruded.js'
import { nearTooth, type SimulatedFixture, simulatedTruth } from '../accuracy/truth/simulated.js'
import { describeWithData } from '../shared-data.js'

const FOLDER = new URL('../../sample-volumes/upper-front/', import.meta.url)
const readJson = (name: string) => readFileSync(new URL(name, FOLDER), 'utf8')

/** Rays look 10 mm far from the axis. */
const FARTHEST_MM = 7

type Truth = Pick<SimulatedFixture, 'name' | 'depthsMm' | 'anglesDeg' | 'radialMarginMm' | 'minimum'>

const surfaceOf = (volume: Volume, { fixture, site }: Plan, grid?: SurfaceGrid): Promise<BoneMargin> =>
  boneMargin(volume, { fixture, facial: site.facial }, { mode: 'surface', ...(grid && { grid }) })

/** Measured less true, mm, of rays whose margin is known and below 7 mm; NaN where none was measured. */
const errorsOf = (margin: BoneMargin, truth: Truth, use = (_row: number, _column: number) => true) =>
  truth.radialMarginMm.flatMap((row, r) =>
    row.flatMap((mm, c) =>
      mm === null || mm > FARTHEST_MM || !use(r, c)
        ? []
        : [margin.radialMm[r * truth.anglesDeg.length + c] - mm],
    ),
  )

function summary(errors: readonly number[]) {
  const known = errors.filter((mm) => !Number.isNaN(mm))
  const sorted = [...known].sort((a, b) => a - b)
  const sizes = known.map(Math.abs).sort((a, b) => a - b)
  return {
    rays: errors.length,
    lost: errors.length - known.length,
    median: sorted[Math.floor(sorted.length / 2)],
    p95: sizes[Math.floor(0.95 * sizes.length)],
  }
}

describe('the sample scan, whose answers come from its analytic anatomy', () => {
  let volume: Volume
  let fixtures: readonly Truth[]
  beforeAll(() => {
    volume = upperFront().volume
    fixtures = JSON.parse(readJson('truth.json')).fixtures
  }, 120_000)

  // The fast march is held to 0.05 mm, 0.2 mm and 2 % lost rays there.
  for (const name of ['opening', 'leaning', 'upright'])
    test(`${name}: median within 0.01 mm, 95 % within 0.07 mm, no ray lost, least margin within its interval`, async () => {
      const truth = fixtures.find((fixture) => fixture.name === name)
      if (truth === undefined) throw new Error(`no truth for ${name}`)
      const margin = await surfaceOf(volume, readPlan(readJson(`plan-${name}.json`)), truth)
      const found = summary(errorsOf(margin, truth))
      expect(found.rays).toBeGreaterThan(700)
      expect(found.lost).toBe(0)
      expect(Math.abs(found.median)).toBeLessThan(0.01)
      expect(found.p95).toBeLessThan(0.07)
      const least = margin.minimum?.radialMm ?? Number.NaN
      expect(Math.abs(least - truth.minimum.marginMm)).toBeLessThan(margin.uncertaintyMm)
    }, 60_000)

  test('assess in that mode: least margins within the intervals of the refined ones, and it says how it measured', () => {
    const plan = readPlan(readJson('plan-upright.json'))
    const [surface, refined] = (['surface', 'refined'] as const).map((mode) =>
      assess(volume, plan, { mode, bone: boneModel(volume) }),
    )
    expect(surface.margin.mode).toBe('surface')
    expect(surface.findings.find(({ code }) => code === 'measured')?.text).toContain('whole site')
    const [a, b] = [surface.margin.minimum, refined.margin.minimum]
    if (a === null || b === null) throw new Error('no least margin')
    expect(Math.abs(a.radialMm - b.radialMm)).toBeLessThan(b.uncertaintyMm)
    expect(Math.abs((a.nearestMm ?? Number.NaN) - (b.nearestMm ?? Number.NaN))).toBeLessThan(b.uncertaintyMm)
    expect(surface.margin.cortexMm).toBeNull()
  }, 60_000)
})

describe('nearest distance in an ellipse of 4.2 x 7 mm and below a knife edge of 24 degrees, any pose, with noise', () => {
  for (const [shape, spacingMm, sigmaMm, barMm] of [
    ['ellipse', 0.2, 0.25, 0.03],
    ['ellipse', 0.4, 0.35, 0.06],
    ['wedge', 0.2, 0.25, 0.03],
    ['wedge', 0.4, 0.35, 0.08],
  ] as const)
    test(`${shape}, voxels ${spacingMm} mm: the least within ${barMm} mm`, async () => {
      for (const seed of ['a', 'b', 'c']) {
        const scene = extrudedScene({ shape, spacingMm, sigmaMm, noiseSd: 100 }, seed)
        const { frame, grid, nearest, volume } = scene
        const diameterMm = shape === 'ellipse' ? 4 : 3
        const profile = fixtureProfile({ kind: 'cylinder', diameterMm, lengthMm: 7 })
        const fixture = {
          shape: { kind: 'cylinder', diameterMm, lengthMm: 7 },
          platform: frame.origin,
          apical: frame.z,
        } as const
        const margin = await boneMargin(volume, { fixture, facial: frame.x }, { mode: 'surface', grid })
        const truth = Math.min(
          ...grid.depthsMm.flatMap((depthMm) =>
            grid.anglesDeg.map((deg) => nearest(surfacePoint(frame, profile, depthMm, deg))),
          ),
        )
        expect(Math.abs((margin.nearestMm ?? Number.NaN) - truth)).toBeLessThan(barMm)
      }
    }, 120_000)
})

// Physically simulated scans with exact answers; the fast march is held to medians of 0.1 and 0.03, 95 % of 0.3 and 0.2 mm.
for (const [name, medianMm, p95Mm] of [
  ['upper-front', 0.08, 0.18],
  ['lower-molar', 0.02, 0.1],
] as const)
  describeWithData(`simulated cone-beam scan: ${name}`, `simulated-cbct/${name}`, (folder) => {
    test('agrees with the anatomy away from teeth', async () => {
      const { volume } = await loadScan(await inputsFromPath(join(folder, `${name}.zip`)))
      const { fixtures, stateCodes } = simulatedTruth(folder)
      for (const truth of fixtures) {
        const plan = readPlan(readFileSync(join(folder, truth.plan), 'utf8'))
        const margin = await surfaceOf(volume, plan, truth)
        const profile = fixtureProfile(plan.fixture.shape)
        const tooth = stateCodes.indexOf('tooth')
        const away = (r: number, c: number) => {
          const exitMm = (truth.radialMarginMm[r][c] ?? 0) + radiusAtMm(profile, truth.depthsMm[r])
          return !nearTooth(truth, tooth, [r, c], exitMm)
        }
        const found = summary(errorsOf(margin, truth, away))
        expect(found.lost / found.rays).toBeLessThan(0.02)
        expect(Math.abs(found.median)).toBeLessThan(medianMm)
        expect(found.p95).toBeLessThan(p95Mm)
        const least = margin.minimum?.radialMm ?? Number.NaN
        expect(Math.abs(least - truth.minimum.marginMm)).toBeLessThan(margin.uncertaintyMm)
      }
    }, 120_000)
  })
