import { type FixtureFrame, type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'
import { type ExposedAreas, exposedAreas } from './exposure.js'
import { hitRows, type RayState, type SurfaceHits } from './hits.js'
import { type MarchedSurface, type MarchOptions, marchSurface } from './march.js'
import type { BoneModel } from './model.js'
import { leastNearest, nearestMap } from './nearest-margin.js'
import { rayFlags } from './ray-flags.js'
import { apexRay, type RayFan, rayFan } from './rays.js'
import { type RefinedSurface, refineSurface } from './refine.js'
import { FAST_HALF_WIDTH_MM, scanHalfWidthMm, shownHalfWidthMm } from './shown-interval.js'
import type { SiteSurface } from './site-surface-result.js'

/**
 * `fast`: a crossing of blurred grey, for dragging. `surface`: the same crossing, found for the whole site at once, as it is
 * for thousands of poses. `refined`: a fitted edge.
 */
export type MarginMode = 'fast' | 'surface' | 'refined'

/** Bone round a fixture, measured along rays perpendicular to its axis and by shortest distance. */
export interface BoneMargin extends ExposedAreas {
  readonly mode: MarginMode
  readonly grid: SurfaceGrid
  readonly states: readonly RayState[]
  /** Bits of FLAG_BITS, ray by ray; see flagsOf. */
  readonly flags: Uint8Array
  /** Remaining bone along each ray, mm, row by row; NaN where there is no number; negative where it sticks out. */
  readonly radialMm: Float64Array
  /**
   * Half width of the measurement's own 95 % interval on each ray, mm; NaN where there is no number. Without the floor
   * that a person must be shown: see uncertaintyMm.
   */
  readonly halfWidthMm: Float64Array
  /** Thickness of the cortical plate behind each ray, along its normal, mm; NaN where none was fitted, and unless refined. */
  readonly cortexMm: Float64Array
  /** Half width of the 95 % interval of cortexMm. */
  readonly cortexHalfWidthMm: Float64Array
  /** Sigma of the blur near the fixture, point spread and sampler together, mm, that plates were fitted with; else null. */
  readonly blurMm: number | null
  /**
   * Shortest signed distance from every place of the fixture's side to the outside of bone, mm, row by row; NaN where
   * there is no surface near. Null unless refined: else the least one only is looked for.
   */
  readonly nearestMapMm: Float64Array | null
  /** Bone on the axis beyond the apex, mm; null where the apex is outside, data ends or no outside lies within range. */
  readonly aboveApexMm: number | null
  /** Where the radial margin is least; null when no ray has a number. */
  readonly minimum: { readonly radialMm: number; readonly depthMm: number; readonly angleDeg: number } | null
  /** Shortest signed distance from the fixture's side to the outside of bone, mm; null without a surface. */
  readonly nearestMm: number | null
  /** Half width of the 95 % interval shown to people, mm, where the margin is least; see shownHalfWidthMm. */
  readonly uncertaintyMm: number
  readonly hits: SurfaceHits
  /** What it was measured on; null for a margin that was put together from numbers. */
  readonly source: MarginSource | null
}

/** What a margin was measured on, so that more can be asked of the same scan and rays. */
export interface MarginSource {
  readonly model: BoneModel
  readonly fan: RayFan
  /** Hits of all rays, those above the map and round the apex included. */
  readonly net: SurfaceHits
  /** 1 for a ray of the net that ends at a mask: what is behind is no bone. */
  readonly masked: Uint8Array
  /** In surface mode. */
  readonly surface?: SiteSurface
}

/** A fixture on a scan, and the rays that measure it. */
interface Measurement {
  readonly model: BoneModel
  readonly frame: FixtureFrame
  readonly profile: FixtureProfile
  readonly grid: SurfaceGrid
  readonly fan: RayFan
  readonly options: MarchOptions
}

/** The fast margin of a fixture: see marchSurface. Two margins, never mixed: radial (the map) and nearest (the verdict). */
export function fastMargin(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  options: MarchOptions = {},
): BoneMargin {
  const fan = rayFan(frame, grid)
  return finished(
    marginOf({ model, frame, profile, grid, fan, options }, marchSurface(model, fan, options), null),
  )
}

/** The same, fitted: see refineSurface. About a hundred times as long. */
export function refinedMargin(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  options: MarchOptions = {},
): BoneMargin {
  return finished(refinedMarginSteps(model, frame, profile, grid, options))
}

function finished<T>(steps: Generator<unknown, T>): T {
  let step = steps.next()
  while (!step.done) step = steps.next()
  return step.value
}

/** The refined margin in steps of some 10 ms, to be stopped between them; each says what share is done, 0 to 1. */
export function* refinedMarginSteps(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  options: MarchOptions = {},
): Generator<number, BoneMargin> {
  const fan = rayFan(frame, grid)
  const marched = marchSurface(model, fan, options)
  yield 0
  const refined = yield* refineSurface(model, fan, marched)
  const rest = marginOf({ model, frame, profile, grid, fan, options }, marched, refined)
  for (;;) {
    yield 1
    const step = rest.next()
    if (step.done) return step.value
  }
}

function* marginOf(
  measurement: Measurement,
  marched: MarchedSurface,
  refined: RefinedSurface | null,
): Generator<void, BoneMargin> {
  const { model, frame, profile, grid, fan } = measurement
  const net = refined?.hits ?? marched.hits
  const hits = hitRows(net, fan.mapFrom, fan.mapRows)
  const { states } = hits
  const radialMm = hits.radiusMm.map(
    (r, n) => r - radiusAtMm(profile, grid.depthsMm[Math.floor(n / hits.columns)]),
  )
  const ofMap = (values: Float64Array) =>
    values.subarray(fan.mapFrom * fan.columns, (fan.mapFrom + fan.mapRows) * fan.columns)
  const halfWidthMm = halfWidths(model, radialMm, refined && ofMap(refined.radiusSdMm))
  const nothing = radialMm.map(() => Number.NaN)
  const question = { model, frame, profile, grid, states, radialMm, net }
  const nearest = refined === null ? null : yield* nearestMap(question)
  const minimum = leastRadial(radialMm, grid)
  if (refined !== null) yield
  const apex = apexRay(fan)
  return {
    mode: refined === null ? 'fast' : 'refined',
    grid,
    states,
    flags: rayFlags(model, fan, hits, marched, refined),
    radialMm,
    halfWidthMm,
    cortexMm: refined === null ? nothing : ofMap(refined.cortexMm),
    cortexHalfWidthMm: refined === null ? nothing : ofMap(refined.cortexSdMm).map((sd) => 1.96 * sd),
    blurMm: refined?.blurMm ?? null,
    nearestMapMm: nearest,
    aboveApexMm: net.states[apex] === 'bone' ? net.radiusMm[apex] : null,
    minimum: minimum === null ? null : minimum.place,
    nearestMm: leastNearest(question),
    ...exposedAreas({ grid, states, radialMm }, profile),
    uncertaintyMm: shownHalfWidthMm(model, minimum === null ? FAST_HALF_WIDTH_MM : halfWidthMm[minimum.ray]),
    hits,
    source: { model, fan, net, masked: marched.masked },
  }
}

/** 95 % half widths: what the fit says, or the fast march's where it stands; more for a scan without thick cortex. */
export function halfWidths(
  model: BoneModel,
  radialMm: Float64Array,
  sdMm: Float64Array | null,
): Float64Array {
  return radialMm.map((r, n) => {
    if (Number.isNaN(r)) return Number.NaN
    const sd = sdMm === null ? Number.NaN : sdMm[n]
    return scanHalfWidthMm(model, Number.isNaN(sd) ? FAST_HALF_WIDTH_MM : 1.96 * sd)
  })
}

/** Of rays alike within so much the first counts, whatever the last bits of an engine say: grafts make many alike. */
const TIE_MM = 1e-9

export function leastRadial(
  radialMm: Float64Array,
  grid: SurfaceGrid,
): { readonly ray: number; readonly place: NonNullable<BoneMargin['minimum']> } | null {
  let at = -1
  for (let n = 0; n < radialMm.length; n++)
    if (!Number.isNaN(radialMm[n]) && (at < 0 || radialMm[n] < radialMm[at] - TIE_MM)) at = n
  if (at < 0) return null
  const columns = grid.anglesDeg.length
  return {
    ray: at,
    place: {
      radialMm: radialMm[at],
      depthMm: grid.depthsMm[Math.floor(at / columns)],
      angleDeg: grid.anglesDeg[at % columns],
    },
  }
}
