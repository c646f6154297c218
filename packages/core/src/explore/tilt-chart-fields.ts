import type { LimitValues } from '../assess/index.js'
import type { Vec3 } from '../space/index.js'
import type { ExploredSite } from './explored-site.js'
import { explorerCautions } from './explorer-cautions.js'
import type { FixturePose } from './pose.js'
import type { BoneAtPose, PoseMeasures } from './pose-measures.js'
import type { PoseMeter } from './pose-meter.js'
import { surfaceUncertaintyMm } from './surface-uncertainty.js'
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

/** What a chart tells of one pose. */
export interface ChartCell
  extends Pick<
    PoseMeasures,
    | 'radialMm'
    | 'nearestMm'
    | 'class'
    | 'offsetMm'
    | 'correctionDeg'
    | 'graftMm3'
    | 'clearanceMm'
    | 'openShare'
  > {
  readonly reserveMm: number | null
}

/** Measures a pose as a chart tells of it. */
export function cellAt(meter: PoseMeter, limits: LimitValues, pose: FixturePose): ChartCell {
  const bone = meter.bone(pose, true)
  const exit = meter.exit(pose)
  return {
    radialMm: bone.radialMm,
    nearestMm: bone.nearestMm,
    reserveMm: reserveMm(bone, limits),
    class: exit.class,
    offsetMm: exit.offsetMm,
    correctionDeg: meter.correctionDeg(pose),
    graftMm3: bone.graftMm3,
    clearanceMm: meter.clearanceMm(pose),
    openShare: bone.openShare,
  }
}

/** The chart of what was measured so far: by cell, and every cell of the coarseness among them. */
export function chartOf(
  site: ExploredSite,
  spec: TiltChartSpec,
  pivot: Vec3,
  measured: readonly (ChartCell | undefined)[],
  coarseness: number,
): TiltChart {
  const held = nearestCells(spec, coarseness).map((place): ChartCell => {
    const cell = measured[place]
    if (cell === undefined) throw new Error(`cell ${place} of a chart was not measured`)
    return cell
  })
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
    radialMm: held.map((cell) => cell.radialMm),
    nearestMm: held.map((cell) => cell.nearestMm),
    reserveMm: held.map((cell) => cell.reserveMm),
    exit: held.map((cell) => cell.class),
    offsetMm: held.map((cell) => cell.offsetMm),
    correctionDeg: held.map((cell) => cell.correctionDeg),
    graftMm3: held.map((cell) => cell.graftMm3),
    clearanceMm: held.map((cell) => cell.clearanceMm),
    openShare: held.map((cell) => cell.openShare),
    uncertaintyMm: surfaceUncertaintyMm(site.model),
    limits: limitsOf(site.limits),
    cautions: explorerCautions(held[0].clearanceMm),
  }
}

/** Least reserve of the margin limits, mm: of every sector's least ray and of the nearest distance; null without a number. */
function reserveMm({ sectors, nearestMm }: BoneAtPose, limits: LimitValues): number | null {
  const marginMm = limits('marginMm').value
  const facialMm = limits('facialMarginMm').value
  let least = nearestMm === null ? Number.POSITIVE_INFINITY : nearestMm - marginMm
  for (const [name, radialMm] of Object.entries(sectors))
    if (radialMm !== null) least = Math.min(least, radialMm - (name === 'facial' ? facialMm : marginMm))
  return least === Number.POSITIVE_INFINITY ? null : least
}

const limitsOf = (limits: LimitValues): TiltChart['limits'] =>
  Object.fromEntries(
    LIMITS.map((code) => {
      const { value, unit, source } = limits(code)
      return [code, { value, unit, source }]
    }),
  )
