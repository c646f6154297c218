import type { Mat4, Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import { type CellSet, cellsAtLeast, countCells } from './cell-set.js'
import { findGaps, type Gaps } from './gaps.js'

/**
 * A blurred, thinned copy of a volume. Cell (i, j, k) lies at volume index (i, j, k) x step; the voxels nearer to it than
 * to any other cell are its own.
 */
export interface CoarseField {
  /** Blurred grey values, x fastest; NaN where one of the cell's own voxels holds no data. */
  readonly values: Float32Array
  readonly shape: Vec3
  /** Voxels per cell along each axis. */
  readonly step: Vec3
  readonly cellMm: Vec3
  /** Index space of the volume to LPS millimetres. */
  readonly indexToWorld: Mat4
  /** Cells that have a value; absent when all have. */
  readonly scanned?: CellSet
  /** Where data is missing between scanned places; absent when it is missing nowhere but round the scan. */
  readonly gaps?: Gaps
}

/**
 * The volume blurred by a Gaussian and sampled on a coarser grid (never a finer one than its own), one axis after the
 * other and slice by slice, so that memory stays near the size of the result.
 */
export function coarseField(volume: Volume, cellMm: number, sigmaMm: number): CoarseField {
  const step = volume.spacingMm.map((h) => Math.max(1, cellMm / h)) as unknown as Vec3
  const shape = volume.shape.map((n, a) => Math.floor((n - 1) / step[a] + 1e-9) + 1) as unknown as Vec3
  const taps = [0, 1, 2].map((a) =>
    thinningTaps(volume.shape[a], shape[a], step[a], sigmaMm / volume.spacingMm[a]),
  ) as [Tap[], Tap[], Tap[]]
  return fieldOf(thinned(volume, shape, taps), shape, step, volume)
}

function fieldOf(
  values: Float32Array,
  shape: Vec3,
  step: Vec3,
  { spacingMm, indexToWorld }: Pick<Volume, 'spacingMm' | 'indexToWorld'>,
): CoarseField {
  const cellMm = step.map((s, a) => s * spacingMm[a]) as unknown as Vec3
  const field = { values, shape, step, cellMm, indexToWorld }
  const scanned = cellsAtLeast(values, shape, Number.NEGATIVE_INFINITY)
  if (countCells(scanned) === values.length) return field
  const gaps = findGaps(scanned)
  return { ...field, scanned, ...(gaps === null ? {} : { gaps }) }
}

/** Every so many cells of a field along each axis, without a value where one of the cells left out has none. */
export function everyFew(field: CoarseField, every: Vec3): CoarseField {
  const { values, shape: fine, step, cellMm, scanned } = field
  const shape = fine.map((n, a) => Math.floor((n - 1) / every[a]) + 1) as unknown as Vec3
  const picked = new Float32Array(shape[0] * shape[1] * shape[2])
  let n = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++) {
      const row = fine[0] * (j * every[1] + fine[1] * k * every[2])
      for (let i = 0; i < shape[0]; i++) picked[n++] = values[row + i * every[0]]
    }
  if (scanned !== undefined)
    for (let k = 0, at = 0; k < fine[2]; k++)
      for (let j = 0; j < fine[1]; j++) {
        const row = shape[0] * (Math.floor(j / every[1]) + shape[1] * Math.floor(k / every[2]))
        for (let i = 0; i < fine[0]; i++, at++)
          if (Number.isNaN(values[at])) picked[row + Math.floor(i / every[0])] = Number.NaN
      }
  const spacingMm = cellMm.map((c, a) => c / step[a]) as unknown as Vec3
  const wide = step.map((s, a) => s * every[a]) as unknown as Vec3
  return fieldOf(picked, shape, wide, { spacingMm, indexToWorld: field.indexToWorld })
}

/** The voxels a cell draws from, with normalised Gaussian weights, filled up with noughts to whole groups. */
interface Tap {
  readonly first: number
  readonly last: number
  readonly weights: readonly number[]
  /** The first and the last weight that belong to voxels of the cell's own. */
  readonly ownFrom: number
  readonly ownTo: number
}

/** So many rows are mixed in one go: several times as fast as one after the other. */
const GROUP = 5

function thinningTaps(voxels: number, cells: number, step: number, sigma: number): Tap[] {
  return Array.from({ length: cells }, (_, cell) => {
    const centre = cell * step
    const first = Math.max(0, Math.ceil(centre - 3 * sigma - 1e-9))
    const last = Math.min(voxels - 1, Math.max(first, Math.floor(centre + 3 * sigma + 1e-9)))
    const raw = Array.from({ length: last - first + 1 }, (_, n) =>
      Math.exp(-0.5 * ((first + n - centre) / sigma) ** 2),
    )
    const sum = raw.reduce((a, b) => a + b, 0)
    const weights = raw.map((w) => w / sum)
    while (weights.length % GROUP > 0) weights.push(0)
    // Halfway voxels belong to the cell after them.
    const ownFirst = Math.max(first, Math.ceil(centre - step / 2 - 1e-9))
    const ownLast = Math.min(last, cell === cells - 1 ? last : Math.ceil(centre + step / 2 - 1e-9) - 1)
    return { first, last, weights, ownFrom: ownFirst - first, ownTo: Math.max(ownFirst, ownLast) - first }
  })
}

/** Slices mixed to planes, these along y to rows, these along x to cells; a ring of slices is kept at a time. */
function thinned(
  volume: Volume,
  shape: Vec3,
  [xTaps, yTaps, zTaps]: readonly [Tap[], Tap[], Tap[]],
): Float32Array {
  const [cx, cy] = shape
  const [nx, ny] = volume.shape
  const slice = nx * ny
  const ring = Math.max(...zTaps.map(({ first, last }) => last - first + 1))
  const slices = new Float32Array(ring * slice)
  const plane = new Float32Array(slice)
  /** Rows along y beside each other, so that mixing along x goes row by row too. */
  const turned = new Float32Array(nx * cy)
  const values = new Float32Array(cx * cy * shape[2])
  let read = 0
  zTaps.forEach((tap, k) => {
    for (; read <= tap.last; read++) readSlice(volume, read, slices, (read % ring) * slice)
    mix(
      slices,
      rowsOf(tap, (n) => (n % ring) * slice),
      tap,
      plane,
      0,
      1,
      slice,
    )
    yTaps.forEach((yTap, j) => {
      mix(
        plane,
        rowsOf(yTap, (n) => n * nx),
        yTap,
        turned,
        j,
        cy,
        nx,
      )
    })
    xTaps.forEach((xTap, i) => {
      mix(
        turned,
        rowsOf(xTap, (n) => n * cy),
        xTap,
        values,
        k * cx * cy + i,
        cx,
        cy,
      )
    })
  })
  return values
}

/** Where the rows of a tap begin; those of weight nought point to the last one. */
const rowsOf = ({ first, last, weights }: Tap, start: (n: number) => number): number[] =>
  weights.map((_, n) => start(Math.min(first + n, last)))

function readSlice(
  { data, offset, stride, shape, noData }: Volume,
  k: number,
  out: Float32Array,
  at: number,
): void {
  const [nx, ny] = shape
  const [sx, sy, sz] = stride
  for (let j = 0; j < ny; j++) {
    const from = offset + j * sy + k * sz
    const row = at + j * nx
    // Copied in one go a row takes a tenth of the time.
    if (sx === 1) out.set(data.subarray(from, from + nx), row)
    else for (let i = 0; i < nx; i++) out[row + i] = data[from + i * sx]
  }
  if (noData === undefined) return
  for (let n = at; n < at + nx * ny; n++) if (out[n] === noData) out[n] = Number.NaN
}

/** The weighted mean of rows that begin at `starts`, written to every `stride`-th place. */
function mix(
  rows: Float32Array,
  starts: readonly number[],
  tap: Tap,
  out: Float32Array,
  at: number,
  stride: number,
  length: number,
): void {
  const { weights } = tap
  let total = 0
  for (let t = 0; t < weights.length; t += GROUP) {
    const a = starts[t]
    const b = starts[t + 1]
    const c = starts[t + 2]
    const d = starts[t + 3]
    const e = starts[t + 4]
    const wa = weights[t]
    const wb = weights[t + 1]
    const wc = weights[t + 2]
    const wd = weights[t + 3]
    const we = weights[t + 4]
    for (let n = 0, to = at; n < length; n++, to += stride) {
      const sum = wa * rows[a + n] + wb * rows[b + n] + wc * rows[c + n] + wd * rows[d + n] + we * rows[e + n]
      out[to] = t === 0 ? sum : out[to] + sum
      total += sum
    }
  }
  if (!Number.isNaN(total)) return
  const own = starts[tap.ownFrom]
  for (let n = 0, to = at; n < length; n++, to += stride)
    if (Number.isNaN(out[to]) && !Number.isNaN(rows[own + n])) out[to] = meanOfKnown(rows, starts, tap, n)
}

/** The mean without the numbers that are missing; none when one of the cell's own is. */
function meanOfKnown(rows: Float32Array, starts: readonly number[], tap: Tap, n: number): number {
  for (let t = tap.ownFrom; t <= tap.ownTo; t++) if (Number.isNaN(rows[starts[t] + n])) return Number.NaN
  let sum = 0
  let weight = 0
  for (let t = 0; t < starts.length; t++) {
    const v = rows[starts[t] + n]
    if (Number.isNaN(v)) continue
    sum += tap.weights[t] * v
    weight += tap.weights[t]
  }
  return sum / weight
}
