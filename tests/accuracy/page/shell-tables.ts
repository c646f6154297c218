import { BINS } from '../bars.js'
import { casesOf, errorsOf, type Findings, ofCase } from '../findings.js'
import type { Mode } from '../measure.js'
import type { RayErrors, SceneResult } from '../ray-errors.js'
import { type Finding, gridName, NOISES, SIGMAS_MM, VOXELS_MM } from '../studies/index.js'
import { awayFromHoles, coverage, inBin, pooled, quantile, type Summary, summary } from '../summary.js'
import { binName, digits, percent, signed, table } from './table.js'

type Scenes = readonly Finding<SceneResult>[]

const together = (scenes: Scenes, name: string, mode: Mode): RayErrors => pooled(errorsOf(scenes, name, mode))

const measured = (scenes: Scenes, name: string) => scenes.some((f) => f.name === name)

/** p95 by voxel, blur and noise, then SD and bias by plate. */
export function gridTable({ grid }: Findings, mode: Mode): string[] {
  const pairs = VOXELS_MM.flatMap((h) => SIGMAS_MM.map((s) => [h, s] as const))
  return table(
    [
      'h',
      's',
      ...NOISES.map((n) => `p95, n ${n}`),
      ...BINS.map((bin) => `n 100: SD at t ${binName(bin)}`),
      ...BINS.map((bin) => `n 100: bias at t ${binName(bin)}`),
    ],
    pairs
      .filter(([h, s]) => measured(grid, gridName(h, s, 100)))
      .map(([h, s]) => {
        const usual = together(grid, gridName(h, s, 100), mode)
        const bins = BINS.map((bin) => summary(inBin(usual, bin).errorMm))
        return [
          String(h),
          String(s),
          ...NOISES.map((n) => digits(summary(together(grid, gridName(h, s, n), mode).errorMm).p95)),
          ...bins.map(({ sd }) => digits(sd)),
          ...bins.map(({ bias }) => signed(bias)),
        ]
      }),
  )
}

const CASE_HEAD = [
  'scene',
  'rays',
  'refined: lost / > 0.5',
  'bias',
  'SD',
  'p95',
  'worst seed',
  'fast: lost / > 0.5',
  'bias',
  'p95',
]

/** One line for each case, both modes side by side. */
export const caseTable = (scenes: Scenes): string[] =>
  table(
    CASE_HEAD,
    casesOf(scenes).map((name) => caseRow(name, (mode) => errorsOf(scenes, name, mode))),
  )

/** The same, and once more without the rays beside holes where a scene has any. */
export const voidTable = ({ voids }: Findings): string[] =>
  table(
    CASE_HEAD,
    casesOf(voids).flatMap((name) => {
      const all = (mode: Mode) => errorsOf(voids, name, mode)
      const clear = (mode: Mode) => all(mode).map(awayFromHoles)
      const hasHoles = all('refined').some(({ thicknessMm }) => thicknessMm.includes(0))
      return [
        caseRow(name, all),
        ...(hasHoles ? [caseRow('- of these 1.2 mm and more from a hole', clear)] : []),
      ]
    }),
  )

/** Rays without a number, and rays with a number off by more than 0.5 mm. */
const lostAndGross = ({ lost, gross }: Summary) => `${lost} / ${gross - lost}`

function caseRow(name: string, seedsIn: (mode: Mode) => RayErrors[]): string[] {
  const refined = summary(pooled(seedsIn('refined')).errorMm)
  const fast = summary(pooled(seedsIn('fast')).errorMm)
  return [
    name,
    String(refined.rays),
    lostAndGross(refined),
    signed(refined.bias),
    digits(refined.sd),
    digits(refined.p95),
    digits(Math.max(...seedsIn('refined').map(({ errorMm }) => summary(errorMm).p95))),
    lostAndGross(fast),
    signed(fast.bias),
    digits(fast.p95),
  ]
}

export const THIN_BINS = [
  [0.18, 0.25],
  [0.25, 0.35],
  [0.35, 0.45],
] as const

export const thinTable = ({ thin }: Findings): string[] =>
  table(
    ['scene', ...THIN_BINS.flatMap((bin) => [`refined bias, t ${binName(bin)}`, 'SD', 'fast bias', 'SD'])],
    casesOf(thin).map((name) => [
      name,
      ...THIN_BINS.flatMap((bin) =>
        (['refined', 'fast'] as const).flatMap((mode) => {
          const { bias, sd } = summary(inBin(together(thin, name, mode), bin).errorMm)
          return [signed(bias), digits(sd)]
        }),
      ),
    ]),
  )

/** What the scans told about themselves, against what they were made with. */
export function calibrationTable({ grid, correlated }: Findings): string[] {
  const row = (scenes: Scenes, kind: string, [h, s]: readonly [number, number]): string[][] => {
    const found = ofCase(scenes, gridName(h, s, 100)).map(({ calibration }) => calibration)
    if (found.length === 0) return []
    const of = (value: (c: (typeof found)[number]) => number, count: number) => {
      const values = found.map(value)
      return `${signed(summary(values).bias, count)} (${signed(Math.min(...values), count)} to ${signed(Math.max(...values), count)})`
    }
    return [
      [
        `${kind} h ${h} s ${s}`,
        of((c) => 100 * (c.cortexGrey / 1500 - 1), 2),
        of((c) => 100 * (c.psfSigmaMm / s - 1), 1),
        of((c) => c.softGrey - 50, 1),
        of((c) => c.noiseSd - 100, 1),
      ],
    ]
  }
  const pairs = VOXELS_MM.flatMap((h) => SIGMAS_MM.map((s) => [h, s] as const))
  return table(
    ['noise 100', 'cortical level, %', 'blur, %', 'soft level, grey', 'noise SD, grey'],
    [
      ...pairs.flatMap((pair) => row(grid, 'white', pair)),
      ...pairs.flatMap((pair) => row(correlated, 'correlated', pair)),
    ],
  )
}

/** Share of rays whose error lies within their own interval, all seeds and the worst one, by plate. */
export function coverageTable({ grid, correlated }: Findings, mode: Mode): string[] {
  const row = (scenes: Scenes, kind: string) => (name: string) => [
    `${kind} ${name}`,
    ...BINS.flatMap((bin) => {
      const seeds = errorsOf(scenes, name, mode).map((e) => inBin(e, bin))
      const worst = Math.min(...seeds.filter((e) => e.errorMm.length >= 50).map(coverage))
      return `${percent(coverage(pooled(seeds)))} (${percent(worst)})`
    }),
    digits(quantile(together(scenes, name, mode).halfWidthMm, 0.5)),
  ]
  return table(
    ['noise 100', ...BINS.map((bin) => `t ${binName(bin)}`), 'median half width'],
    [
      ...casesOf(grid)
        .filter((name) => name.endsWith('n 100'))
        .map(row(grid, 'white')),
      ...casesOf(correlated).map(row(correlated, 'correlated')),
    ],
  )
}

/** How far the fast number lies from the refined one. */
export const differenceTable = ({ grid, correlated }: Findings): string[] =>
  table(
    ['noise 100', 'mean', 'SD', 'p95', 'worst seed'],
    [
      ...casesOf(grid)
        .filter((name) => name.endsWith('n 100'))
        .map((name) => ['white', grid, name] as const),
      ...casesOf(correlated).map((name) => ['correlated', correlated, name] as const),
    ].map(([kind, scenes, name]) => {
      const seeds = ofCase(scenes, name).map((r) => r.differenceMm)
      const { bias, sd, p95 } = summary(seeds.flat())
      const worst = Math.max(...seeds.map((d) => summary(d).p95))
      return [`${kind} ${name}`, signed(bias), digits(sd), digits(p95), digits(worst)]
    }),
  )

/** Bias and SD of the plate's thickness, refined. */
export const plateTable = ({ grid, correlated, thin }: Findings): string[] =>
  table(
    ['noise 100', ...[[0.18, 0.35] as const, ...BINS].map((bin) => `t ${binName(bin)}: bias / SD`)],
    VOXELS_MM.flatMap((h) => SIGMAS_MM.map((s) => gridName(h, s, 100))).flatMap((name) =>
      (
        [
          ['white', grid],
          ['correlated', correlated],
        ] as const
      ).flatMap(([kind, scenes]) => {
        if (!measured(scenes, name)) return []
        const cell = (from: Scenes, bin: readonly [number, number]) => {
          const { bias, sd } = summary(inBin(together(from, name, 'refined'), bin).plateErrorMm)
          return Number.isNaN(bias) ? '-' : `${signed(bias)} / ${digits(sd)}`
        }
        const thinnest = kind === 'white' && measured(thin, name) ? cell(thin, [0.18, 0.35]) : '-'
        return [[`${kind} ${name}`, thinnest, ...BINS.map((bin) => cell(scenes, bin))]]
      }),
    ),
  )
