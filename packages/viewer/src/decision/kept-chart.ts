import {
  chartPlace,
  chartPose,
  distance,
  dot,
  type FixturePose,
  normalize,
  type PlacedCrown,
  type Plan,
  subtract,
  type TiltChart,
} from '@alveometer/core'

/** A chart with what it was made from: it stays good while the fixture moves within it. */
export interface KeptChart {
  readonly chart: TiltChart
  readonly plan: Plan
  readonly crown: PlacedCrown
}

export interface ChartPlace {
  readonly column: number
  readonly row: number
}

/** So near is the same place, mm; and directions as their sines. */
const SAME = 1e-6

/** Everything of a plan that a chart depends on but the fixture's place. */
export const groundOf = ({ scan, site, crown, limits, structures }: Plan): string =>
  JSON.stringify([scan.fingerprint ?? scan.seriesUid, site, crown, limits, structures])

/** The pose at a place of a kept chart. */
export const poseIn = ({ chart, plan, crown }: KeptChart, { column, row }: ChartPlace): FixturePose =>
  chartPose({ plan, crown, pivotMm: chart.pivot }, chart.spec, column, row)

/** Where a plan lies in a kept chart; null when it lies in none of its places, so that another chart is needed. */
export function placeIn(kept: KeptChart, plan: Plan): ChartPlace | null {
  const { chart } = kept
  if (plan !== kept.plan) {
    if (groundOf(plan) !== groundOf(kept.plan)) return null
    if (JSON.stringify(plan.fixture.shape) !== JSON.stringify(kept.plan.fixture.shape)) return null
  }
  const { column, row: tilt } = chartPlace(plan, kept.crown, { ...chart.spec, kind: 'tilt' })
  const place = { column, row: chart.spec.kind === 'tilt' ? tilt : movedMm(kept, plan) }
  const pose = poseIn(kept, place)
  const here = distance(pose.platform, plan.fixture.platform) < SAME
  const turned = distance(normalize(pose.apical), normalize(plan.fixture.apical)) < SAME
  return here && turned ? place : null
}

/** How far the pivot was moved along the chart's rows, mm. */
function movedMm({ chart, plan: base, crown }: KeptChart, plan: Plan): number {
  const apical = normalize(base.fixture.apical)
  const depthMm = dot(subtract(chart.pivot, base.fixture.platform), apical)
  const now = normalize(plan.fixture.apical)
  const pivot = plan.fixture.platform.map((v, n) => v + depthMm * (now[n] as number))
  const moved = subtract(pivot as unknown as typeof chart.pivot, chart.pivot)
  if (chart.spec.kind === 'depth') return dot(moved, apical)
  return dot(moved, [crown.pose[0], crown.pose[1], crown.pose[2]])
}
