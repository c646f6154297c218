import { axisPoint, type FixtureFrame, radialDirection, type SurfaceGrid } from '../fixture/index.js'
import { toIndex, toWorld, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import { boxAround, type IndexSampler } from '../volume/index.js'
import { correctForBlur } from './blur-correction.js'
import { INSIDE, OUTSIDE } from './exterior.js'
import type { RayState, SurfaceHits, Traces } from './hits.js'
import { boneThreshold } from './levels.js'
import type { BoneModel } from './model.js'

export interface MarchOptions {
  /** How far from the axis a surface is looked for, mm; 10 when absent. */
  readonly rangeMm?: number
}

const STEP_MM = 0.1
/** Half a cell of the mask. */
const MASK_STEP_MM = 0.15
const BEFORE_MM = 1

/** The more blurred fall lies beyond the mask's edge by the difference of the blurs and up to half a cell. */
const afterMm = ({ smoothingMm, exterior, volume }: BoneModel): number =>
  Math.max(
    0.5,
    1.2 * smoothingMm + 0.5 * Math.max(...exterior.step.map((step, a) => step * volume.spacingMm[a])),
  )
const PEAK_MM = 1.2

/**
 * Fast outer surface. Each ray leaves the axis until it meets the flooded outside; the last fall of the blurred grey
 * below the low threshold nearby is taken and moved inwards by the known blur of an edge:
 * r = crossing - (1.175 S - thin - kappa S^2 / 2) / cos a, S^2 = psf^2 + smoothing^2 + spacing^2 / 6, where `thin` is the
 * share of a thin plate by the height of its peak.
 */
export function marchSurface(
  model: BoneModel,
  frame: FixtureFrame,
  grid: SurfaceGrid,
  options: MarchOptions = {},
): SurfaceHits {
  const rangeMm = options.rangeMm ?? 10
  const rows = grid.depthsMm.length
  const columns = grid.anglesDeg.length
  const count = rows * columns
  const hits: SurfaceHits = {
    rows,
    columns,
    states: new Array<RayState>(count).fill('no-data'),
    radiusMm: new Float64Array(count).fill(Number.NaN),
    points: new Float64Array(3 * count).fill(Number.NaN),
  }
  const sample = regionSampler(model, frame, grid, rangeMm)
  if (sample === null) return hits
  const traces: Traces = { normals: new Float64Array(3 * count), peaks: new Float64Array(count) }
  const directions = grid.anglesDeg.map((angle) => radialDirection(frame, angle))
  grid.depthsMm.forEach((depthMm, row) => {
    const start = axisPoint(frame, depthMm)
    directions.forEach((direction, columnIndex) => {
      castRay(model, sample, start, direction, rangeMm, hits, traces, row * columns + columnIndex)
    })
  })
  correctForBlur(model, frame, grid, directions, hits, traces)
  return hits
}

/** The blurred volume round the fixture, as far as rays may reach. */
function regionSampler(
  model: BoneModel,
  frame: FixtureFrame,
  grid: SurfaceGrid,
  rangeMm: number,
): IndexSampler | null {
  const ends = [grid.depthsMm[0] ?? 0, grid.depthsMm[grid.depthsMm.length - 1] ?? 0].map((d) =>
    axisPoint(frame, d),
  )
  const box = boxAround(
    model.volume,
    ends,
    rangeMm + afterMm(model) + 2 * Math.max(...model.volume.spacingMm),
  )
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
  at: number,
): void {
  const { volume, calibration } = model
  const index = toIndex(volume.worldToIndex, start)
  const step = transformDirection(volume.worldToIndex, direction)
  const found = firstExterior(model, index, step, rangeMm)
  if (typeof found !== 'number') {
    hits.states[at] = found
    return
  }
  const softGrey = model.softAt(
    index[0] + found * step[0],
    index[1] + found * step[1],
    index[2] + found * step[2],
  )
  const low = boneThreshold(softGrey, calibration.cortexGrey)
  const fall = lastFall(sample, index, step, found, found + afterMm(model), low)
  if (fall === null) {
    hits.states[at] = 'no-surface'
    return
  }
  const { crossing } = fall
  hits.states[at] = 'bone'
  hits.radiusMm[at] = crossing
  traces.peaks[at] = (fall.peak - softGrey) / (calibration.cortexGrey - softGrey)
  const hit: Vec3 = [
    index[0] + crossing * step[0],
    index[1] + crossing * step[1],
    index[2] + crossing * step[2],
  ]
  const point = toWorld(volume.indexToWorld, hit)
  hits.points.set(point, 3 * at)
  traces.normals.set(outwardNormal(volume.worldToIndex, sample, hit) ?? direction, 3 * at)
}

/** Distance along the ray to the first cell of the outside, or why there is none. */
function firstExterior(
  model: BoneModel,
  index: Vec3,
  step: Vec3,
  rangeMm: number,
): number | Exclude<RayState, 'bone'> {
  const { cells, shape, step: cell } = model.exterior
  const [nx, ny, nz] = shape
  const ix = index[0] / cell[0]
  const iy = index[1] / cell[1]
  const iz = index[2] / cell[2]
  const sx = step[0] / cell[0]
  const sy = step[1] / cell[1]
  const sz = step[2] / cell[2]
  for (let n = 0; n * MASK_STEP_MM <= rangeMm; n++) {
    const t = n * MASK_STEP_MM
    const i = ix + t * sx + 0.5
    const j = iy + t * sy + 0.5
    const k = iz + t * sz + 0.5
    if (!(i >= 0 && j >= 0 && k >= 0 && i < nx && j < ny && k < nz)) return 'no-data'
    const what = cells[(i | 0) + nx * ((j | 0) + ny * (k | 0))]
    if (what === OUTSIDE) return t === 0 ? 'axis-outside' : t
    if (what !== INSIDE) return 'no-data'
  }
  return 'no-surface'
}

/**
 * The last fall below the low threshold near a place on the ray, by linear interpolation, and the highest grey on the
 * millimetre before it; null when there is none.
 */
function lastFall(
  sample: IndexSampler,
  index: Vec3,
  step: Vec3,
  nearMm: number,
  toMm: number,
  low: number,
): { readonly crossing: number; readonly peak: number } | null {
  const from = Math.max(0, nearMm - BEFORE_MM)
  const count = Math.round((toMm - from) / STEP_MM)
  const at = (t: number) => sample(index[0] + t * step[0], index[1] + t * step[1], index[2] + t * step[2])
  let outer = Number.NaN
  for (let n = count; n >= 0; n--) {
    const t = from + n * STEP_MM
    const v = at(t)
    if (v >= low && outer < low) {
      let peak = v
      for (let back = t - STEP_MM; back >= Math.max(0, t - PEAK_MM); back -= STEP_MM)
        peak = Math.max(peak, at(back))
      return { crossing: t + (STEP_MM * (v - low)) / (v - outer), peak }
    }
    outer = v
  }
  return null
}

/** Minus the direction of the blurred grey's gradient, in patient space. */
function outwardNormal(worldToIndex: readonly number[], sample: IndexSampler, [i, j, k]: Vec3): Vec3 | null {
  const gi = sample(i + 0.7, j, k) - sample(i - 0.7, j, k)
  const gj = sample(i, j + 0.7, k) - sample(i, j - 0.7, k)
  const gk = sample(i, j, k + 0.7) - sample(i, j, k - 0.7)
  const at = (c: number) =>
    -(gi * worldToIndex[4 * c] + gj * worldToIndex[4 * c + 1] + gk * worldToIndex[4 * c + 2])
  const x = at(0)
  const y = at(1)
  const z = at(2)
  const size = Math.hypot(x, y, z)
  return size > 1e-9 ? [x / size, y / size, z / size] : null
}
