import { readFileSync } from 'node:fs'
import { beforeAll, expect, test } from 'vitest'
import { normalQuantile } from '../../packages/core/src/explore/draws-normal.js'
import {
  freehandError,
  guidedError,
  type MissCloud,
  missCloud,
  ownError,
  type Percentiles,
  type PlacementError,
} from '../../packages/core/src/explore/index.js'
import {
  closedSite,
  EXIT_HEIGHT_MM,
  planeFacialAt,
  roundBone,
} from '../../packages/core/test/miss-cloud-site.js'
import { describeWithPython } from '../outside-python.js'

const SCRIPT = readFileSync(new URL('miss-cloud.py', import.meta.url), 'utf8')
const SHAPE = { kind: 'cylinder', diameterMm: 4, lengthMm: 10 } as const
const DRAWS = 10_000

interface Scene {
  readonly kind: 'plane' | 'round' | 'exit'
  readonly error: PlacementError
  /** Where bone ends, or the band behind the edge, mm. */
  readonly at: number
  readonly surface: boolean
}

const correlated = (correlation: number) => ownError({ entrySdMm: 0.6, tiltSdDeg: 5, correlation })

const SCENES: readonly Scene[] = [
  { kind: 'plane', error: guidedError(), at: 3.8, surface: false },
  { kind: 'plane', error: freehandError(), at: 4.5, surface: true },
  { kind: 'plane', error: correlated(0.7), at: 4, surface: true },
  { kind: 'plane', error: correlated(-0.7), at: 4, surface: true },
  { kind: 'round', error: guidedError(), at: 4, surface: true },
  { kind: 'round', error: freehandError(), at: 5.5, surface: false },
  { kind: 'exit', error: guidedError(), at: -1.5, surface: false },
  { kind: 'exit', error: freehandError(), at: -1.5, surface: false },
]
/** Where the platform is planned in scenes of exits, mm facial of the edge. */
const EXIT_X_MM = -2.5
const QUANTILES = [1e-16, 1e-12, 1e-8, 1e-5, 1e-3, 0.05, 0.0749, 0.0751, 0.2, 0.6, 0.9251, 0.999, 1 - 1e-9]

interface Answer {
  readonly draws: number
  readonly scenes: readonly {
    readonly share: number
    readonly percentiles: readonly number[]
    readonly apexMeanMm: number
    readonly apex: readonly number[]
  }[]
  readonly quantiles: readonly number[]
}

function cloudOf({ kind, error, at, surface }: Scene): Promise<MissCloud> {
  const nearest = kind === 'plane' ? planeFacialAt(at) : kind === 'round' ? roundBone(at) : () => 99
  const x = kind === 'exit' ? EXIT_X_MM : 0
  const site = closedSite(nearest, { fixture: { shape: SHAPE, platform: [x, 0, 0], apical: [0, 0, 1] } })
  return missCloud(site, {
    way: kind === 'exit' ? 'straight' : 'cemented',
    error,
    draws: DRAWS,
    surface,
    seed: 42,
  })
}

const listOf = ({ p5, p25, p50, p75, p95 }: Percentiles) => [p5, p25, p50, p75, p95]

describeWithPython('a cloud of placements against another Monte Carlo', ['numpy', 'scipy'], (run) => {
  let answer: Answer
  let clouds: readonly MissCloud[]

  beforeAll(async () => {
    clouds = await Promise.all(SCENES.map(cloudOf))
    const asked = SCENES.map(({ kind, error, at }, n) => ({
      kind,
      at,
      limit: kind === 'exit' ? 0 : 1,
      x: EXIT_X_MM,
      height: EXIT_HEIGHT_MM,
      radius: SHAPE.diameterMm / 2,
      length: SHAPE.lengthMm,
      surface: clouds[n].surfaceSdMm,
      error: {
        entry: [error.entrySdMm.facial, error.entrySdMm.mesial, error.entrySdMm.apical],
        tilt: error.tiltSdDeg,
        correlation: error.correlation,
      },
    }))
    answer = JSON.parse(run(SCRIPT, [JSON.stringify(asked), JSON.stringify(QUANTILES)]))
  }, 300_000)

  test.each(SCENES.map(({ kind, error }, n) => [n, kind, error.kind] as const))(
    'scene %i, %s, %s: share and percentiles within three standard errors of the two',
    (n, kind) => {
      const { share, percentiles, apex } = answer.scenes[n]
      const code = kind === 'exit' ? 'edgeBandMm' : 'marginMm'
      const limit = clouds[n].limits.find(
        (one) => one.code === code && (kind === 'exit' || one.where === 'nearest'),
      )
      if (limit?.percentiles == null) throw new Error(`no ${code}`)
      const each = 1 / DRAWS + 1 / answer.draws
      expect(share).toBeGreaterThan(0.2)
      expect(share).toBeLessThan(0.98)
      expect(Math.abs(limit.holds - share)).toBeLessThan(3 * Math.sqrt(share * (1 - share) * each))
      // Of exits the offset is told, and how far inside was asked for: the other way round.
      const told = listOf(limit.percentiles)
      const values = kind === 'exit' ? told.map((offset) => SCENES[n].at - offset).reverse() : told
      within(values, percentiles, each)
      within(listOf(clouds[n].missed.apexMm), apex, each)
    },
  )

  test('quantiles of the normal', () => {
    for (const [n, p] of QUANTILES.entries())
      expect(Math.abs(normalQuantile(p) / answer.quantiles[n] - 1)).toBeLessThan(1e-14)
  })
})

/**
 * Percentiles against others within three standard errors: sqrt(p (1 - p)) / density, the density from the percentiles to
 * either side. At the 5th and 95th it comes out twice that of a normal, which is made good.
 */
function within(values: readonly number[], others: readonly number[], each: number): void {
  const shares = [0.05, 0.25, 0.5, 0.75, 0.95]
  for (const [n, p] of shares.entries()) {
    const [a, b] = [Math.max(0, n - 1), Math.min(4, n + 1)]
    const density = (shares[b] - shares[a]) / (others[b] - others[a])
    const tail = n === 0 || n === 4 ? 2 : 1
    const error = (tail * Math.sqrt(p * (1 - p) * each)) / density
    expect(Math.abs(values[n] - others[n])).toBeLessThan(3 * error)
  }
}
