import { UNCERTAINTY_FLOOR_MM } from '@alveometer/core'
import { casesOf, type Findings, ofCase } from '../findings.js'
import type { Mode } from '../measure.js'
import type { SimulatedPlan, SimulatedRay } from '../studies/index.js'
import { coverage, summary } from '../summary.js'
import { reasonFor } from './reasons.js'
import { digits, percent, signed, table } from './table.js'

const isFacial = ({ angleDeg }: SimulatedRay) => angleDeg <= 60 || angleDeg >= 300
const isOral = ({ angleDeg }: SimulatedRay) => angleDeg >= 120 && angleDeg <= 240

/** Where a ray leaves bone. */
const REGIONS: readonly (readonly [string, (ray: SimulatedRay) => boolean])[] = [
  ['away from teeth', (ray) => !ray.nearTooth],
  ['- of these facial', (ray) => !ray.nearTooth && isFacial(ray)],
  ['- of these oral', (ray) => !ray.nearTooth && isOral(ray)],
  ['- of these at the sides', (ray) => !ray.nearTooth && !isFacial(ray) && !isOral(ray)],
  ['near a tooth', (ray) => ray.nearTooth],
]

interface Named extends SimulatedPlan {
  readonly scan: string
}

const plansOf = ({ simulated }: Findings): Named[] =>
  casesOf(simulated).flatMap((scan) =>
    ofCase(simulated, scan).flatMap((result) => (result?.plans ?? []).map((plan) => ({ ...plan, scan }))),
  )

export const simulatedTable = (found: Findings, mode: Mode): string[] =>
  table(
    [
      'scan, plan',
      'where',
      'rays',
      'lost',
      'bias',
      'median',
      'SD',
      'p95',
      'within their interval, %',
      'within it or 0.1',
    ],
    plansOf(found).flatMap(({ scan, plan, rays }) =>
      REGIONS.flatMap(([name, belongs]) => {
        const kept = rays[mode].filter(belongs)
        if (kept.length === 0) return []
        const { lost, bias, median, sd, p95 } = summary(kept.map((r) => r.errorMm))
        return [
          [
            `${scan}, ${plan}`,
            name,
            String(kept.length),
            String(lost),
            ...[bias, median].map((v) => signed(v)),
            ...[sd, p95].map((v) => digits(v)),
            percent(covered(kept)),
            percent(covered(kept, UNCERTAINTY_FLOOR_MM)),
          ],
        ]
      }),
    ),
  )

const covered = (rays: readonly SimulatedRay[], floorMm = 0): number =>
  coverage({
    errorMm: rays.map((r) => r.errorMm),
    halfWidthMm: rays.map((r) => Math.max(floorMm, r.halfWidthMm)),
    thicknessMm: [],
    plateErrorMm: [],
  })

export const leastTable = (found: Findings): string[] =>
  table(
    ['scan, plan', 'refined: error of the least margin', 'shown as +-', 'fast: error', 'shown as +-'],
    plansOf(found).map(({ scan, plan, least }) => [
      `${scan}, ${plan}`,
      ...(['refined', 'fast'] as const).flatMap((mode) => [
        signed(least[mode].errorMm),
        digits(least[mode].shownMm, 2),
      ]),
    ]),
  )

/** Rays without a true margin, and how often a number was given all the same. */
export const unanswerableTable = (found: Findings): string[] =>
  table(
    ['scan, plan', 'first a tooth: rays / with a number', 'first a canal', 'first the end of the field'],
    plansOf(found).map(({ scan, plan, unanswerable }) => [
      `${scan}, ${plan}`,
      ...unanswerable.map(({ rays, numbers }) => `${rays} / ${numbers}`),
    ]),
  )

const WORST_MM = 0.3
const MOST_ROWS = 60

/** Refined rays off by more than 0.3 mm, worst first. */
export const missTable = (found: Findings): string[] =>
  table(
    [
      'scan, plan',
      'depth',
      'angle',
      'true',
      'error',
      '+-',
      'to the normal',
      'off along it',
      'flags',
      'reason',
    ],
    raysWith(found, ({ errorMm }) => Math.abs(errorMm) > WORST_MM)
      .sort((a, b) => Math.abs(b.errorMm) - Math.abs(a.errorMm))
      .slice(0, MOST_ROWS)
      .map((ray) => [
        ray.where,
        digits(ray.depthMm, 1),
        digits(ray.angleDeg, 0),
        digits(ray.trueMm, 2),
        signed(ray.errorMm, 2),
        digits(ray.halfWidthMm, 2),
        digits(ray.incidenceDeg, 0),
        signed(ray.errorMm * Math.cos((ray.incidenceDeg * Math.PI) / 180), 2),
        ray.flags.join(' '),
        reasonFor(ray),
      ]),
  )

/** Refined rays without a number although there is a surface, by reason. */
export function lostTable(found: Findings): string[] {
  const lost = raysWith(found, ({ errorMm }) => Number.isNaN(errorMm))
  const groups = [...new Set(lost.map((ray) => `${ray.where}; ${reasonFor(ray)}`))]
  return table(
    ['scan, plan', 'rays', 'true', 'to the normal', 'reason'],
    groups.map((group) => {
      const rays = lost.filter((ray) => `${ray.where}; ${reasonFor(ray)}` === group)
      const span = (value: (ray: SimulatedRay) => number, count: number) => {
        const values = rays.map(value).filter(Number.isFinite)
        return `${digits(Math.min(...values), count)} to ${digits(Math.max(...values), count)}`
      }
      return [
        rays[0].where,
        String(rays.length),
        span((ray) => ray.trueMm, 1),
        span((ray) => ray.incidenceDeg, 0),
        reasonFor(rays[0]),
      ]
    }),
  )
}

const raysWith = (found: Findings, keep: (ray: SimulatedRay) => boolean) =>
  plansOf(found).flatMap(({ scan, plan, rays }) =>
    rays.refined.filter(keep).map((ray) => ({ ...ray, where: `${scan}, ${plan}` })),
  )
