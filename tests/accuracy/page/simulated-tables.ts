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
    ['scan, plan', 'where', 'rays', 'lost', 'bias', 'median', 'SD', 'p95', 'within their interval, %'],
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
          ],
        ]
      }),
    ),
  )

const covered = (rays: readonly SimulatedRay[]): number =>
  coverage({
    errorMm: rays.map((r) => r.errorMm),
    halfWidthMm: rays.map((r) => r.halfWidthMm),
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

/** Refined rays off by more than 0.3 mm or lost, worst first. */
export function missTable(found: Findings): string[] {
  const misses = plansOf(found)
    .flatMap(({ scan, plan, rays }) =>
      rays.refined.filter((r) => !(Math.abs(r.errorMm) <= WORST_MM)).map((ray) => ({ scan, plan, ray })),
    )
    .sort((a, b) => sizeOf(b.ray) - sizeOf(a.ray))
  return table(
    ['scan, plan', 'depth', 'angle', 'true', 'error', '+-', 'flags', 'near a tooth', 'reason'],
    misses
      .slice(0, MOST_ROWS)
      .map(({ scan, plan, ray }) => [
        `${scan}, ${plan}`,
        digits(ray.depthMm, 1),
        digits(ray.angleDeg, 0),
        digits(ray.trueMm, 2),
        Number.isNaN(ray.errorMm) ? 'lost' : signed(ray.errorMm, 2),
        digits(ray.halfWidthMm, 2),
        ray.flags.join(' '),
        ray.nearTooth ? 'yes' : 'no',
        reasonFor(scan, plan, ray.depthMm, ray.angleDeg),
      ]),
  )
}

/** Lost rays count as the smallest misses: no wrong number is shown. */
const sizeOf = ({ errorMm }: SimulatedRay): number => (Number.isNaN(errorMm) ? 0 : Math.abs(errorMm))
