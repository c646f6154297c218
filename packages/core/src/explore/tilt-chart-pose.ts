import { fixtureLine, tiltsOf } from '../crown/access-exit.js'
import { plusYSide } from '../crown/index.js'
import type { PlacedCrown, Plan } from '../plan/index.js'
import {
  along,
  column as columnOf,
  dot,
  normalize,
  scale,
  subtract,
  transformDirection,
  type Vec3,
} from '../space/index.js'
import type { FixturePose } from './pose.js'
import type { TiltChartSpec } from './tilt-chart-result.js'

/** What the poses of a chart are worked out from. */
export interface ChartBase {
  readonly plan: Pick<Plan, 'fixture' | 'site'>
  readonly crown: PlacedCrown
  /** What stays where it is while the fixture is tilted: a point of its axis as planned, LPS mm. */
  readonly pivotMm: Vec3
}

/**
 * The pose at a place of a chart; at the plan's own place it is the plan's. `column`: facial tilt, degrees; `row`: see
 * TiltChartSpec. First tilted about the pivot, then moved. The axis comes as a unit vector.
 * @throws RangeError for a tilt of 90 degrees or more in a chart of depths or shifts, or a crown of another tooth.
 */
export const chartPose = (base: ChartBase, spec: TiltChartSpec, column: number, row: number): FixturePose =>
  chartPoses(base, spec)(column, row)

/** `chartPose` for many places of one chart. */
export function chartPoses(
  { plan, crown, pivotMm }: ChartBase,
  spec: TiltChartSpec,
): (column: number, row: number) => FixturePose {
  const planned = normalize(plan.fixture.apical)
  const pivotDepthMm = dot(subtract(pivotMm, plan.fixture.platform), planned)
  const mesial = mesialSign(crown)
  const keptTiltDeg = spec.kind === 'tilt' ? 0 : keptTilt(plan, crown)
  const step: Vec3 =
    spec.kind === 'tilt' ? [0, 0, 0] : spec.kind === 'depth' ? planned : normalize(columnOf(crown.pose, 0))
  return (column, row) => {
    const isTilt = spec.kind === 'tilt'
    const apical = apicalAt(crown, mesial, column, isTilt ? row : keptTiltDeg)
    const tilted = along(pivotMm, apical, -pivotDepthMm)
    return { platform: isTilt ? tilted : along(tilted, step, row), apical }
  }
}

/**
 * Where a plan lies in its own chart: its facial tilt; its mesial tilt where rows are tilts, else 0. May lie beyond the
 * chart's ends.
 * @throws RangeError when the crown is of another tooth or its pose is not rigid.
 */
export function chartPlace(
  plan: Pick<Plan, 'fixture' | 'site'>,
  crown: PlacedCrown,
  spec: TiltChartSpec,
): { readonly column: number; readonly row: number } {
  const { tiltFacialDeg, tiltMesialDeg } = plannedTilts(plan, crown)
  // 0 and not -0: it does not outlive JSON.
  return { column: tiltFacialDeg + 0, row: spec.kind === 'tilt' ? tiltMesialDeg + 0 : 0 }
}

const mesialSign = ({ crown }: PlacedCrown): 1 | -1 => (plusYSide(crown.tooth) === 'mesial' ? 1 : -1)

const plannedTilts = ({ fixture, site }: Pick<Plan, 'fixture' | 'site'>, placed: PlacedCrown) =>
  tiltsOf(fixtureLine({ ...placed, fixture, site }).coronal, mesialSign(placed))

function keptTilt(plan: Pick<Plan, 'fixture' | 'site'>, crown: PlacedCrown): number {
  const { tiltMesialDeg } = plannedTilts(plan, crown)
  if (!(Math.abs(tiltMesialDeg) < 90))
    throw new RangeError(
      'tilt chart: the fixture lies across the crown or upside down, so that it has no mesial tilt to keep: turn it, or chart tilts',
    )
  return tiltMesialDeg
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180

/** The apical direction with these tilts of the coronal one: see ExitResult.tiltFacialDeg and tiltMesialDeg. */
function apicalAt(
  { pose }: PlacedCrown,
  mesial: 1 | -1,
  facialDeg: number,
  mesialDeg: number,
): [number, number, number] {
  // Beyond 90 degrees both are measured from an axis that points the wrong way.
  const climb = Math.cos(radians(facialDeg)) < 0 ? -1 : 1
  const coronal: Vec3 = [Math.tan(radians(facialDeg)), mesial * Math.tan(radians(mesialDeg)), -1]
  return normalize(transformDirection(pose, scale(coronal, -climb)))
}
