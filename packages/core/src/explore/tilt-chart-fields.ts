import { CAUTIONS, type LimitValues } from '../assess/index.js'
import { FAST_HALF_WIDTH_MM, scanHalfWidthMm, shownHalfWidthMm } from '../bone/shown-interval.js'
import type { Vec3 } from '../space/index.js'
import type { ExploredSite } from './explored-site.js'
import type { BoneAtPose, PoseMeasures } from './pose-measures.js'
import { nearestCells } from './tilt-chart-cells.js'
import { chartPlace } from './tilt-chart-pose.js'
import type { TiltChart, TiltChartSpec } from './tilt-chart-result.js'
import { axisValues } from './tilt-chart-spec.js'

/** What the fields of a chart are read against. */
const LIMITS = [
  'marginMm',
  'marginTargetMm',
  'facialMarginMm',
  'facialMarginTargetMm',
  'edgeBandMm',
  'wantedPalatalMm',
  'bendPivotMm',
  'correctionDeg',
  'correctionGreatestDeg',
] as const

/** The chart of what was measured so far: by cell, and every cell of the coarseness among them. */
export function chartOf(
  site: ExploredSite,
  spec: TiltChartSpec,
  pivot: Vec3,
  measured: readonly (PoseMeasures | undefined)[],
  coarseness: number,
): TiltChart {
  const held = nearestCells(spec, coarseness).map((cell): PoseMeasures => {
    const measures = measured[cell]
    if (measures === undefined) throw new Error(`cell ${cell} of a chart was not measured`)
    return measures
  })
  const field = <T>(of: (measures: PoseMeasures) => T): readonly T[] => held.map(of)
  return {
    schema: 'alveometer-tilt-chart',
    version: 1,
    spec,
    tooth: site.plan.site.tooth,
    shape: site.plan.fixture.shape,
    pivot,
    columns: axisValues(spec.columns),
    rows: axisValues(spec.rows),
    present: chartPlace(site.plan, site.crown, spec),
    coarseness,
    radialMm: field((m) => m.radialMm),
    nearestMm: field((m) => m.nearestMm),
    reserveMm: field((m) => reserveMm(m, site.limits)),
    exit: field((m) => m.class),
    offsetMm: field((m) => m.offsetMm),
    correctionDeg: field((m) => m.correctionDeg),
    graftMm3: field((m) => m.graftMm3),
    clearanceMm: field((m) => m.clearanceMm),
    openShare: field((m) => m.openShare),
    // That of the fast march: the surface is found by the same crossing of blurred grey.
    uncertaintyMm: shownHalfWidthMm(site.model, scanHalfWidthMm(site.model, FAST_HALF_WIDTH_MM)),
    limits: limitsOf(site.limits),
    cautions: CAUTIONS,
  }
}

/** Least reserve of the margin limits, mm: of every sector's least ray and of the nearest distance; null without a number. */
function reserveMm({ sectors, nearestMm }: BoneAtPose, limits: LimitValues): number | null {
  const marginMm = limits('marginMm').value
  const facialMm = limits('facialMarginMm').value
  const reserves = Object.entries(sectors).flatMap(([name, radialMm]) =>
    radialMm === null ? [] : [radialMm - (name === 'facial' ? facialMm : marginMm)],
  )
  if (nearestMm !== null) reserves.push(nearestMm - marginMm)
  return reserves.length === 0 ? null : Math.min(...reserves)
}

const limitsOf = (limits: LimitValues): TiltChart['limits'] =>
  Object.fromEntries(
    LIMITS.map((code) => {
      const { value, unit, source } = limits(code)
      return [code, { value, unit, source }]
    }),
  )
