import { casesOf, errorsOf, type Findings, ofCase } from './findings.js'
import type { Mode } from './measure.js'
import type { RayErrors } from './ray-errors.js'
import { gridName, NOISES, SIGMAS_MM, VOXELS_MM } from './studies/index.js'
import { awayFromHoles, coverage, inBin, pooled, quantile, summary } from './summary.js'

/** A limit that every seed has to keep by itself; where it is one for a share of few rays, all seeds together. */
export interface Bar {
  readonly name: string
  readonly wanted: string
  /** Of the seed that is farthest off. */
  readonly worst: number
  /** Of all seeds together; where a bar holds for several cases, of the worst of them. */
  readonly pooled: number
  readonly digits: number
  readonly met: boolean
}

/** Thicknesses of plates, mm: from, and up to below. */
export const BINS = [
  [0.35, 0.6],
  [0.6, 1],
  [1, 1.6],
  [1.6, 2.61],
] as const

/** Groups of seeds: each group is one case. */
type Groups<T> = readonly (readonly T[])[]

interface Question<T> {
  readonly groups: Groups<T>
  readonly join: (all: readonly T[]) => T
  readonly value: (one: T) => number
}

function atMost<T>(
  name: string,
  limit: number,
  digits: number,
  ask: Question<T>,
  judged: 'worst' | 'pooled' = 'worst',
): Bar[] {
  const { groups, join, value } = ask
  const filled = groups.filter((g) => g.length > 0)
  if (filled.length === 0) return []
  const worst = Math.max(...filled.flatMap((g) => g.map(value)))
  const together = Math.max(...filled.map((g) => value(join(g))))
  const met = (judged === 'worst' ? worst : together) <= limit
  return [{ name, wanted: `<= ${limit}`, worst, pooled: together, digits, met }]
}

const onRays = (groups: Groups<RayErrors>, value: (errors: RayErrors) => number): Question<RayErrors> => ({
  groups,
  join: pooled,
  value,
})
const onNumbers = (groups: Groups<readonly number[]>, value: (all: readonly number[]) => number) => ({
  groups,
  join: (all: Groups<number>) => all.flat(),
  value,
})

const p95 = ({ errorMm }: RayErrors) => summary(errorMm).p95
const bias = ({ errorMm }: RayErrors) => Math.abs(summary(errorMm).bias)
const sd = ({ errorMm }: RayErrors) => summary(errorMm).sd
const gross = ({ errorMm }: RayErrors) => summary(errorMm).gross

/** Voxels not much wider than the blur: coarser scans say too little about their own blur. */
const isSampledWell = (spacingMm: number, sigmaMm: number) => sigmaMm >= 0.6 * spacingMm

const gridCases = (keep: (h: number, s: number, n: number) => boolean): string[] =>
  VOXELS_MM.flatMap((h) =>
    SIGMAS_MM.flatMap((s) => NOISES.flatMap((n) => (keep(h, s, n) ? [gridName(h, s, n)] : []))),
  )

/** Every bar that the findings can answer, measured in one mode. */
export function bars(found: Findings, mode: Mode): Bar[] {
  return [
    ...edgeBars(found, mode),
    ...thinBars(found, mode),
    ...surfaceBars(found, mode),
    ...calibrationBars(found),
    ...intervalBars(found, mode),
    ...nearestBars(found),
    ...fastBars(found),
    ...densityBars(found),
    ...simulatedBars(found, mode),
  ]
}

function edgeBars(found: Findings, mode: Mode): Bar[] {
  const grid = (name: string) => errorsOf(found.grid, name, mode)
  const noiseFree = gridCases((h, s, n) => h <= 0.3 && s >= 0.2 && n === 0)
    .map(grid)
    .map((seeds) => seeds.map((e) => inBin(e, [0.5, 9])))
  const usual = [grid(gridName(0.2, 0.25, 100))]
  return [
    ...atMost('noise-free, h <= 0.3, s >= 0.2, t >= 0.5: bias', 0.005, 4, onRays(noiseFree, bias)),
    ...atMost('noise-free, h <= 0.3, s >= 0.2, t >= 0.5: p95', 0.015, 4, onRays(noiseFree, p95)),
    ...atMost('h 0.2 s 0.25 n 100: p95', 0.025, 4, onRays(usual, p95)),
    ...atMost('h 0.2 s 0.25 n 100: rays lost or off by more than 0.5', 0, 0, onRays(usual, gross)),
    ...(
      [
        [0.3, 0.25, 100, 0.04],
        [0.4, 0.35, 100, 0.06],
        [0.4, 0.35, 150, 0.08],
      ] as const
    ).flatMap(([h, s, n, limit]) =>
      atMost(`${gridName(h, s, n)}: p95`, limit, 4, onRays([grid(gridName(h, s, n))], p95)),
    ),
  ]
}

function thinBars(found: Findings, mode: Mode): Bar[] {
  const name = gridName(0.2, 0.25, 100)
  const half = [errorsOf(found.grid, name, mode).map((e) => inBin(e, [0.4, 0.6]))]
  const third = [errorsOf(found.thin, name, mode).map((e) => inBin(e, [0.25, 0.35]))]
  return [
    ...atMost('plates of 0.4 to 0.6, h 0.2 s 0.25 n 100: bias', 0.01, 4, onRays(half, bias)),
    ...atMost('plates of 0.4 to 0.6, h 0.2 s 0.25 n 100: SD', 0.015, 4, onRays(half, sd)),
    ...atMost('plates of 0.25 to 0.35, h 0.2 s 0.25 n 100: bias', 0.015, 4, onRays(third, bias)),
    ...atMost('plates of 0.25 to 0.35, h 0.2 s 0.25 n 100: SD', 0.02, 4, onRays(third, sd)),
  ]
}

function surfaceBars(found: Findings, mode: Mode): Bar[] {
  const correlated = [errorsOf(found.correlated, gridName(0.2, 0.25, 100), mode)]
  const voids = casesOf(found.voids).map((name) => errorsOf(found.voids, name, mode))
  // How well a surface is placed behind plates thinner than half a millimetre is asked above.
  const clear = casesOf(found.voids)
    .filter((name) => !name.includes('plate of 0.3 mm'))
    .map((name) => errorsOf(found.voids, name, mode).map(awayFromHoles))
  return [
    ...atMost('correlated noise, texture 150, h 0.2 s 0.25: p95', 0.05, 4, onRays(correlated, p95)),
    ...atMost('void scenes: rays on a wrong surface', 0, 0, onRays(voids, gross)),
    ...atMost('void scenes, plates of 0.75, 1.2 and more from a hole: p95', 0.04, 4, onRays(clear, p95)),
  ]
}

function calibrationBars(found: Findings): Bar[] {
  const cases = VOXELS_MM.flatMap((h) =>
    SIGMAS_MM.filter((s) => isSampledWell(h, s)).flatMap((s) =>
      NOISES.map((n) => ({ s, runs: ofCase(found.grid, gridName(h, s, n)) })),
    ),
  )
  const cortex = cases.map(({ runs }) =>
    runs.map(({ calibration }) => [100 * (calibration.cortexGrey / 1500 - 1)]),
  )
  const blur = cases.map(({ s, runs }) =>
    runs.map(({ calibration }) => [100 * (calibration.psfSigmaMm / s - 1)]),
  )
  const offBy = (all: readonly number[]) => Math.abs(summary(all).bias)
  return [
    ...atMost('calibration, s >= 0.6 h: cortical level, %', 2, 1, onNumbers(cortex, offBy)),
    ...atMost('calibration, s >= 0.6 h: blur, %', 5, 1, onNumbers(blur, offBy)),
  ]
}

/** A bin with fewer rays says nothing about a share of 5 %. */
const LEAST_RAYS = 50

function intervalBars(found: Findings, mode: Mode): Bar[] {
  const names = gridCases((h, s) => isSampledWell(h, s))
  const groups = names.flatMap((name) =>
    BINS.map((bin) =>
      errorsOf(found.grid, name, mode)
        .map((e) => inBin(e, bin))
        .filter((e) => e.errorMm.length >= LEAST_RAYS),
    ),
  )
  const missed = onRays(groups, (e) => 100 * (1 - coverage(e)))
  // Of 50 rays that go together a tenth may miss by chance: the share is one of all seeds.
  return atMost('share outside the 95 % interval, any bin, s >= 0.6 h, %', 10, 1, missed, 'pooled')
}

function nearestBars(found: Findings): Bar[] {
  const groups = ['ellipse', 'wedge'].map((shape) =>
    ofCase(found.nearest, `${shape} ${gridName(0.2, 0.25, 100)}`).map(({ mapErrorMm }) => mapErrorMm),
  )
  return [
    ...atMost(
      'shortest distance, h 0.2 s 0.25 n 100: bias',
      0.01,
      4,
      onNumbers(groups, (all) => Math.abs(summary(all).bias)),
    ),
    ...atMost(
      'shortest distance, h 0.2 s 0.25 n 100: SD',
      0.015,
      4,
      onNumbers(groups, (all) => summary(all).sd),
    ),
  ]
}

function fastBars(found: Findings): Bar[] {
  const names = gridCases((h, s, n) => h <= 0.3 && n === 100 && isSampledWell(h, s))
  const groups = names.map((name) => ofCase(found.grid, name).map((r) => r.differenceMm))
  const within = (all: readonly number[]) => quantile(all.map(Math.abs), 0.95)
  return atMost('fast against refined, h <= 0.3 n 100, s >= 0.6 h: p95', 0.05, 4, onNumbers(groups, within))
}

function densityBars(found: Findings): Bar[] {
  const names = casesOf(found.density).filter((name) => !name.includes('along'))
  const groups = names.map((name) => ofCase(found.density, name).map((e) => [e.corePercent, e.shellPercent]))
  const greatest = (all: readonly number[]) => Math.max(...all.map(Math.abs))
  return atMost('mean grey of core and shell against quadrature, %', 0.5, 2, onNumbers(groups, greatest))
}

function simulatedBars(found: Findings, mode: Mode): Bar[] {
  const plans = found.simulated.flatMap(({ result }) => result?.plans ?? [])
  const groups = plans.map(({ rays }) => [rays[mode].filter((r) => !r.nearTooth).map((r) => r.errorMm)])
  const value = (all: readonly number[]) => summary(all).p95
  return atMost('simulated scans, away from teeth: p95', 0.1, 3, onNumbers(groups, value))
}
