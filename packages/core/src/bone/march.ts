import { toIndex, toWorld, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import { boxAround, type IndexSampler } from '../volume/index.js'
import { correctForBlur } from './blur-correction.js'
import { endAtMasks } from './end-at-masks.js'
import { INSIDE, OUTSIDE } from './exterior.js'
import type { RayState, SurfaceHits, Traces } from './hits.js'
import { boneThreshold } from './levels.js'
import type { BoneModel } from './model.js'
import type { RayFan } from './rays.js'

export interface MarchOptions {
  /** How far from the axis a surface is looked for, mm; 10 when absent. */
  readonly rangeMm?: number
  /** A ray that grazes the surface more than this is corrected for blur as if it did not; 0.35 when absent. */
  readonly leastCosine?: number
}

const STEP_MM = 0.1
/** Half a cell of the mask. */
const MASK_STEP_MM = 0.15
/** The fall is looked for so far inside of the mask's edge. */
export const BEFORE_MM = 1

/** The more blurred fall lies beyond the mask's edge by the difference of the blurs and up to half a cell. */
export const afterMm = ({ smoothingMm, exterior, volume }: BoneModel): number =>
  Math.max(
    0.5,
    1.2 * smoothingMm + 0.5 * Math.max(...exterior.step.map((step, a) => step * volume.spacingMm[a])),
  )
/** A plate's peak is looked for so far inside of its fall. */
export const PEAK_MM = 1.2

/** The surface that the fast march found, with what the refined fit starts from. */
export interface MarchedSurface {
  readonly hits: SurfaceHits
  readonly traces: Traces
  /** 1 for a ray that the outside reaches through a narrow opening only. */
  readonly leaks: Uint8Array
  /** 1 for a ray that ends at a mask, exactly. */
  readonly masked: Uint8Array
}

/**
 * Fast outer surface. Each ray leaves the axis until it meets the flooded outside; the last fall of the blurred grey
 * below the low threshold nearby is taken and moved inwards by the known blur of an edge:
 * r = crossing - (1.175 S - thin - kappa S^2 / 2) / cos a, S^2 = psf^2 + smoothing^2 + spacing^2 / 6, where `thin` is the
 * share of a thin plate by the height of its peak.
 */
export function marchSurface(model: BoneModel, fan: RayFan, options: MarchOptions = {}): MarchedSurface {
  const rangeMm = options.rangeMm ?? RANGE_MM
  const { rows, columns } = fan
  const count = rows * columns
  const hits: SurfaceHits = {
    rows,
    columns,
    states: new Array<RayState>(count).fill('no-data'),
    radiusMm: new Float64Array(count).fill(Number.NaN),
    followedMm: new Float64Array(count),
    points: new Float64Array(3 * count).fill(Number.NaN),
  }
  const traces: Traces = { normals: new Float64Array(3 * count), peaks: new Float64Array(count) }
  const sample = marchedRegion(model, fan, rangeMm)
  const leaks = new Uint8Array(count)
  if (sample === null) return { hits, traces, leaks, masked: new Uint8Array(count) }
  for (let ray = 0; ray < count; ray++) {
    const start = fan.starts[Math.floor(ray / columns)] as WorldPoint
    castRay(model, sample, start, fan.directions[ray] as Vec3, rangeMm, hits, traces, leaks, ray)
  }
  correctForBlur(model, fan, hits, traces, options.leastCosine)
  return { hits, traces, leaks, masked: endAtMasks(model.masks, fan, hits, rangeMm) }
}

/** How far from the axis a surface is looked for unless asked otherwise. */
export const RANGE_MM = 10

/** The blurred volume round the fixture, as far as rays may reach; null where there is none. */
export function marchedRegion(model: BoneModel, { starts }: RayFan, rangeMm = RANGE_MM): IndexSampler | null {
  const reachMm = rangeMm + afterMm(model) + 2 * Math.max(...model.volume.spacingMm)
  const box = boxAround(model.volume, starts, reachMm)
  return box === null ? null : model.smoothed(box)
}

function castRay(
  model: BoneModel,
  sample: IndexSampler,
  start: WorldPoint,
  direction: Vec3,
  rangeMm: number,
  hits: SurfaceHits,
  traces: Traces,
  leaks: Uint8Array,
  at: number,
): void {
  const { volume, calibration } = model
  const index = toIndex(volume.worldToIndex, start)
  const step = transformDirection(volume.worldToIndex, direction)
  const met = firstExterior(model, index, step, rangeMm)
  hits.followedMm[at] = met.atMm
  if (met.leak) leaks[at] = 1
  if (met.what !== 'outside') {
    hits.states[at] = met.what
    return
  }
  const softGrey = model.softAt(
    index[0] + met.atMm * step[0],
    index[1] + met.atMm * step[1],
    index[2] + met.atMm * step[2],
  )
  const low = boneThreshold(softGrey, calibration.cortexGrey)
  const fall = lastFall(sample, index, step, met.atMm, met.atMm + afterMm(model), low)
  if (typeof fall === 'string') {
    hits.states[at] = fall
    hits.followedMm[at] = Math.max(0, met.atMm - BEFORE_MM)
    return
  }
  const { crossing } = fall
  const hit: Vec3 = [
    index[0] + crossing * step[0],
    index[1] + crossing * step[1],
    index[2] + crossing * step[2],
  ]
  const normal = outwardNormal(volume.worldToIndex, sample, hit, direction)
  if (normal === null) return
  hits.states[at] = 'bone'
  hits.radiusMm[at] = crossing
  traces.peaks[at] = (fall.peak - softGrey) / (calibration.cortexGrey - softGrey)
  hits.points.set(toWorld(volume.indexToWorld, hit), 3 * at)
  traces.normals.set(normal, 3 * at)
}

/** What a ray meets first in the mask, and how far from the axis; `no-surface`: nothing within range. */
export interface Met {
  readonly what: 'outside' | Exclude<RayState, 'bone'>
  readonly atMm: number
  /** Of the outside: here it came in through a narrow opening; what did not lies over 1 mm farther. */
  readonly leak?: boolean
}

/** Farther than a groove is deep. */
const LEAK_MM = 1

/** @param index, step the start and the way of a millimetre, index space of the volume. */
export function firstExterior(model: BoneModel, index: Vec3, step: Vec3, rangeMm: number): Met {
  const { cells, narrow, shape, step: cell } = model.exterior
  const [nx, ny, nz] = shape
  const ix = index[0] / cell[0]
  const iy = index[1] / cell[1]
  const iz = index[2] / cell[2]
  const sx = step[0] / cell[0]
  const sy = step[1] / cell[1]
  const sz = step[2] / cell[2]
  let met: Met | null = null
  for (let n = 0; n * MASK_STEP_MM <= rangeMm; n++) {
    const t = n * MASK_STEP_MM
    if (met !== null && t - met.atMm > LEAK_MM) return { ...met, leak: true }
    const i = ix + t * sx + 0.5
    const j = iy + t * sy + 0.5
    const k = iz + t * sz + 0.5
    if (!(i >= 0 && j >= 0 && k >= 0 && i < nx && j < ny && k < nz))
      return met ?? { what: 'no-data', atMm: t }
    const at = (i | 0) + nx * ((j | 0) + ny * (k | 0))
    const what = cells[at]
    if (what === OUTSIDE) {
      met ??= { what: t === 0 ? 'axis-outside' : 'outside', atMm: t }
      if (narrow[at] === 0) return met
    } else if (what !== INSIDE) return met ?? { what: 'no-data', atMm: t }
  }
  return met === null ? { what: 'no-surface', atMm: rangeMm } : { ...met, leak: true }
}

/**
 * The last fall below the low threshold near a place on the ray, by linear interpolation, and the highest grey on the
 * millimetre before it. `no-surface` when there is none; `no-data` when data ends before it does, or above the threshold.
 */
function lastFall(
  sample: IndexSampler,
  index: Vec3,
  step: Vec3,
  nearMm: number,
  toMm: number,
  low: number,
): { readonly crossing: number; readonly peak: number } | 'no-surface' | 'no-data' {
  const from = Math.max(0, nearMm - BEFORE_MM)
  const count = Math.round((toMm - from) / STEP_MM)
  const at = (t: number) => sample(index[0] + t * step[0], index[1] + t * step[1], index[2] + t * step[2])
  let outer = Number.NaN
  let cut = false
  for (let n = count; n >= 0; n--) {
    const t = from + n * STEP_MM
    const v = at(t)
    if (Number.isNaN(v)) cut = true
    else if (v >= low) {
      if (Number.isNaN(outer) && cut) return 'no-data'
      if (outer < low) {
        const peak = peakBefore(at, t, v)
        return Number.isNaN(peak) ? 'no-data' : { crossing: t + (STEP_MM * (v - low)) / (v - outer), peak }
      }
    }
    outer = v
  }
  return cut ? 'no-data' : 'no-surface'
}

/** The highest grey on the ray from a little before a place up to it; NaN when data is missing there. */
function peakBefore(at: (t: number) => number, toMm: number, grey: number): number {
  let peak = grey
  for (let t = toMm - STEP_MM; t >= Math.max(0, toMm - PEAK_MM); t -= STEP_MM) peak = Math.max(peak, at(t))
  return peak
}

/**
 * Minus the direction of the blurred grey's gradient, in patient space; the ray's own direction where the grey is flat;
 * null where data is missing on both sides. Beside missing data the slope is that of the other side.
 */
function outwardNormal(
  worldToIndex: readonly number[],
  sample: IndexSampler,
  [i, j, k]: Vec3,
  direction: Vec3,
): Vec3 | null {
  const here = sample(i, j, k)
  const slope = (before: number, after: number): number => {
    if (Number.isNaN(before)) return 2 * (after - here)
    return Number.isNaN(after) ? 2 * (here - before) : after - before
  }
  const gi = slope(sample(i - 0.7, j, k), sample(i + 0.7, j, k))
  const gj = slope(sample(i, j - 0.7, k), sample(i, j + 0.7, k))
  const gk = slope(sample(i, j, k - 0.7), sample(i, j, k + 0.7))
  const at = (c: number) =>
    -(gi * worldToIndex[4 * c] + gj * worldToIndex[4 * c + 1] + gk * worldToIndex[4 * c + 2])
  const x = at(0)
  const y = at(1)
  const z = at(2)
  const size = Math.hypot(x, y, z)
  if (Number.isNaN(size)) return null
  return size > 1e-9 ? [x / size, y / size, z / size] : direction
}
