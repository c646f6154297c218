import type { Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
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
  /** Where data is missing between scanned places; absent when it is missing nowhere but round the scan. */
  readonly gaps?: Gaps
}

/**
 * The volume blurred by a Gaussian and sampled on a coarser grid (never a finer one than its own), one axis after the other, so that memory stays
 * near the size of the result.
 */
export function coarseField(volume: Volume, cellMm: number, sigmaMm: number): CoarseField {
  const step = volume.spacingMm.map((h) => Math.max(1, cellMm / h)) as unknown as Vec3
  const shape = volume.shape.map((n, a) => Math.floor((n - 1) / step[a] + 1e-9) + 1) as unknown as Vec3
  const [cx, cy, cz] = shape
  const taps = [0, 1, 2].map((a) =>
    thinningTaps(volume.shape[a], shape[a], step[a], sigmaMm / volume.spacingMm[a]),
  ) as [Tap[], Tap[], Tap[]]
  const plane = cx * cy
  const sums = new Float32Array(plane * cz)
  const weights = new Float32Array(cz)
  const nanPlanes = volume.noData === undefined ? null : new Float32Array(plane * cz)
  const feeds = slicesFedBy(taps[2], volume.shape[2])
  const row = new Float64Array(cx * volume.shape[1])
  const thin = new Float64Array(plane)
  for (let k = 0; k < volume.shape[2]; k++) {
    if ((feeds[k] as Feed[]).length === 0) continue
    thinSlice(volume, k, taps, row, thin, cx, cy)
    for (const { cell, weight } of feeds[k] as Feed[]) {
      const base = cell * plane
      weights[cell] = weights[cell] + weight
      for (let n = 0; n < plane; n++) {
        const v = thin[n]
        if (nanPlanes === null) sums[base + n] = sums[base + n] + weight * v
        else if (!Number.isNaN(v)) {
          sums[base + n] = sums[base + n] + weight * v
          nanPlanes[base + n] = nanPlanes[base + n] + weight
        }
      }
    }
  }
  for (let k = 0; k < cz; k++)
    for (let n = k * plane; n < (k + 1) * plane; n++)
      sums[n] = sums[n] / (nanPlanes === null ? weights[k] : nanPlanes[n] || Number.NaN)
  if (volume.noData !== undefined) markNoData(volume, sums, shape, step)
  const gaps = volume.noData === undefined ? null : findGaps(sums, shape)
  return {
    values: sums,
    shape,
    step,
    cellMm: step.map((s, a) => s * volume.spacingMm[a]) as unknown as Vec3,
    ...(gaps === null ? {} : { gaps }),
  }
}

interface Tap {
  readonly first: number
  readonly weights: readonly number[]
}

interface Feed {
  readonly cell: number
  readonly weight: number
}

/** For every cell the voxels it draws from, with normalised Gaussian weights. */
function thinningTaps(voxels: number, cells: number, step: number, sigma: number): Tap[] {
  return Array.from({ length: cells }, (_, cell) => {
    const centre = cell * step
    const first = Math.max(0, Math.ceil(centre - 3 * sigma))
    const last = Math.min(voxels - 1, Math.max(first, Math.floor(centre + 3 * sigma)))
    const raw = Array.from({ length: last - first + 1 }, (_, n) =>
      Math.exp(-0.5 * ((first + n - centre) / sigma) ** 2),
    )
    const sum = raw.reduce((a, b) => a + b, 0)
    return { first, weights: raw.map((w) => w / sum) }
  })
}

function slicesFedBy(taps: readonly Tap[], slices: number): Feed[][] {
  const feeds: Feed[][] = Array.from({ length: slices }, () => [])
  taps.forEach((tap, cell) => {
    tap.weights.forEach((weight, n) => {
      feeds[tap.first + n]?.push({ cell, weight })
    })
  })
  return feeds
}

/** One slice blurred and thinned along x, then along y. */
function thinSlice(
  volume: Volume,
  k: number,
  taps: readonly [Tap[], Tap[], Tap[]],
  row: Float64Array,
  out: Float64Array,
  cx: number,
  cy: number,
): void {
  const { data, noData } = volume
  const [sx, sy, sz] = volume.stride
  const ny = volume.shape[1]
  for (let j = 0; j < ny; j++) {
    const base = volume.offset + j * sy + k * sz
    for (let i = 0; i < cx; i++) {
      const { first, weights } = taps[0][i] as Tap
      let sum = 0
      let weight = 0
      for (let n = 0; n < weights.length; n++) {
        const v = data[base + (first + n) * sx]
        if (v === noData) continue
        const w = weights[n]
        sum += w * v
        weight += w
      }
      row[j * cx + i] = sum / weight
    }
  }
  for (let j = 0; j < cy; j++) {
    const { first, weights } = taps[1][j] as Tap
    for (let i = 0; i < cx; i++) {
      let sum = 0
      let weight = 0
      for (let n = 0; n < weights.length; n++) {
        const v = row[(first + n) * cx + i]
        if (Number.isNaN(v)) continue
        const w = weights[n]
        sum += w * v
        weight += w
      }
      out[j * cx + i] = sum / weight
    }
  }
}

/**
 * A cell with a voxel of its own that holds no data has no value, whatever its neighbours say: a missing slice thinner
 * than a cell must not slip through between two of them.
 */
function markNoData(volume: Volume, values: Float32Array, shape: Vec3, step: Vec3): void {
  const { data, noData } = volume
  const [nx, ny, nz] = volume.shape
  const [sx, sy, sz] = volume.stride
  const cellOf = [0, 1, 2].map((a) =>
    Int32Array.from({ length: volume.shape[a] }, (_, n) => Math.min(shape[a] - 1, Math.round(n / step[a]))),
  ) as [Int32Array, Int32Array, Int32Array]
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const row = shape[0] * (cellOf[1][j] + shape[1] * cellOf[2][k])
      let at = volume.offset + j * sy + k * sz
      for (let i = 0; i < nx; i++, at += sx) if (data[at] === noData) values[row + cellOf[0][i]] = Number.NaN
    }
}
