import { type FixtureProfile, radiusAtMm } from '../fixture/index.js'
import type { BoneUnder } from './bone-under.js'
import type { GraftField } from './graft-result.js'
import type { GraftLoss } from './graft-spec.js'
import { remainingMm } from './wanted.js'

/** Columns of a field: the error of its volume falls with their square, 0.2 % here on flat bone. */
export const FIELD_ANGLES: readonly number[] = Array.from({ length: 144 }, (_, n) => (360 * n) / 144)
/** Rows of a field are about so far apart. */
const ROW_STEP_MM = 0.25

/** Depths of a field, both ends met, evenly apart. */
export interface FieldDepths {
  readonly depthsMm: number[]
  readonly stepMm: number
}

/**
 * Depths from one to another. Where they can be, they are the margin's own: then every ray of the margin is a node, and
 * one that stands alone among others is not lost between them.
 */
export function fieldDepths(fromMm: number, toMm: number, rowsMm: readonly number[] = []): FieldDepths {
  const rowMm = rowsMm.length > 1 ? rowsMm[1] - rowsMm[0] : Number.NaN
  const whole = (mm: number) => Math.abs(mm / rowMm - Math.round(mm / rowMm)) < 1e-6
  const own = whole(fromMm - rowsMm[0]) && whole(toMm - fromMm)
  const steps = Math.max(1, Math.round((toMm - fromMm) / (own ? rowMm : ROW_STEP_MM)))
  const stepMm = (toMm - fromMm) / steps
  return { depthsMm: Array.from({ length: steps + 1 }, (_, n) => fromMm + n * stepMm), stepMm }
}

/** Bone's outside, or the fixture's side where that lies farther out, at the nodes of a field, mm from the axis. */
export function baseOf(
  { exitMm }: BoneUnder,
  profile: FixtureProfile,
  depthsMm: readonly number[],
): Float64Array {
  const columns = exitMm.length / depthsMm.length
  return exitMm.map((exit, n) => Math.max(exit, radiusAtMm(profile, depthsMm[Math.floor(n / columns)])))
}

/** A gap that is filled to within this of the bone across it is closed. */
const CLOSED_MM = 1e-3

/** Whether a layer fills the gap between a node's base and bone farther out. */
export const closedGap = (
  { ceilingMm, farMm }: Pick<BoneUnder, 'ceilingMm' | 'farMm'>,
  baseMm: Float64Array,
  layerMm: number,
  n: number,
): boolean => farMm[n] > 0 && layerMm > 0 && baseMm[n] + layerMm > ceilingMm[n] - CLOSED_MM

/** A field from what lies on its base; null where that is nothing. */
export function fieldOf(
  profile: FixtureProfile,
  depthsMm: readonly number[],
  under: BoneUnder,
  baseMm: Float64Array,
  builtMm: Float64Array,
  loss: GraftLoss,
  told: { readonly openRays: number; readonly cappedMm: number },
): GraftField | null {
  if (!builtMm.some((gap) => gap > LEAST_MM)) return null
  // It resorbs from its outside; what fills a gap up to bone has none.
  const keptMm = builtMm.map((gap, n) => (closedGap(under, baseMm, gap, n) ? gap : remainingMm(loss, gap)))
  const grafted = (value: (n: number) => number) => builtMm.map((gap, n) => (gap > 0 ? value(n) : Number.NaN))
  return {
    depthsMm,
    anglesDeg: FIELD_ANGLES,
    innerMm: grafted((n) => baseMm[n]),
    outerMm: grafted((n) => baseMm[n] + builtMm[n]),
    keptMm: grafted((n) => baseMm[n] + Math.max(0, keptMm[n])),
    ground: {
      baseMm,
      builtMm,
      keptMm,
      ceilingMm: under.ceilingMm,
      farMm: under.farMm,
      fixtureMm: Float64Array.from(depthsMm, (depth) => radiusAtMm(profile, depth)),
    },
    ...told,
  }
}

/** Thinner than this everywhere is no graft: rounding. */
const LEAST_MM = 1e-6
