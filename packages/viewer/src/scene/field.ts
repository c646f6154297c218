import { type IndexBox, subVolume, type Vec3, type Volume } from '@alveometer/core'

/**
 * Grey values on a regular grid along a volume's own axes, x fastest, wrapped in one layer of `low` so that every
 * surface in it is closed. Grid point (i, j, k) lies at index `start + step * (i, j, k)` of the volume.
 */
export interface Field {
  readonly values: Float32Array
  readonly shape: Vec3
  readonly start: Vec3
  readonly step: Vec3
}

interface Tap {
  readonly first: number
  readonly weights: readonly number[]
}

/** The voxels of a box of a volume, copied without gaps, x fastest. */
export interface Region {
  readonly values: Float32Array
  readonly box: IndexBox
  readonly spacingMm: Vec3
  readonly low: number
}

/** Voxels without data count as `low`. */
export function copyRegion(volume: Volume, box: IndexBox, low: number): Region {
  const { data, stride, offset, noData } = subVolume(volume, box)
  const [nx, ny, nz] = box.shape
  const values = new Float32Array(nx * ny * nz)
  let at = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      let from = offset + j * stride[1] + k * stride[2]
      for (let i = 0; i < nx; i++, from += stride[0]) {
        const value = data[from] as number
        values[at++] = value === noData || Number.isNaN(value) ? low : value
      }
    }
  return { values, box, spacingMm: volume.spacingMm, low }
}

/**
 * A region on a grid of about `stepMm`, never finer than its voxels, under a Gaussian of half a grid step: enough
 * against aliasing and noise. A surface of radius R moves inward by about sigma^2 / R, less than 0.01 mm on a ball of 5 mm.
 */
export function resampleField({ values: source, box, spacingMm, low }: Region, stepMm: number): Field {
  const factors = spacingMm.map((spacing) => Math.max(1, stepMm / spacing)) as [number, number, number]
  const shape: [number, number, number] = [box.shape[0], box.shape[1], box.shape[2]]
  let values = source
  for (const axis of [0, 1, 2] as const) {
    const taps = gaussianTaps(shape[axis], factors[axis])
    const inner = shape.slice(0, axis).reduce((product, n) => product * n, 1)
    values = filterAxis(values, shape[axis], inner, taps)
    shape[axis] = taps.length
  }
  return {
    values: wrap(values, shape, low),
    shape: [shape[0] + 2, shape[1] + 2, shape[2] + 2],
    start: [box.start[0] - factors[0], box.start[1] - factors[1], box.start[2] - factors[2]],
    step: factors,
  }
}

function gaussianTaps(count: number, factor: number): Tap[] {
  const sigma = factor / 2
  return Array.from({ length: Math.floor((count - 1) / factor) + 1 }, (_, n) => {
    const centre = n * factor
    const first = Math.max(0, Math.ceil(centre - 3 * sigma))
    const last = Math.min(count - 1, Math.floor(centre + 3 * sigma))
    const raw = Array.from({ length: last - first + 1 }, (_, t) =>
      Math.exp(-0.5 * ((first + t - centre) / sigma) ** 2),
    )
    const sum = raw.reduce((total, w) => total + w, 0)
    return { first, weights: raw.map((w) => w / sum) }
  })
}

/** One axis of `length` samples, `inner` values apart, replaced by weighted sums. */
function filterAxis(values: Float32Array, length: number, inner: number, taps: readonly Tap[]): Float32Array {
  const outer = values.length / (length * inner)
  const out = new Float32Array(outer * taps.length * inner)
  for (let o = 0; o < outer; o++)
    for (const [n, { first, weights }] of taps.entries()) {
      const to = (o * taps.length + n) * inner
      for (const [t, weight] of weights.entries()) {
        const from = (o * length + first + t) * inner
        for (let i = 0; i < inner; i++)
          out[to + i] = (out[to + i] as number) + weight * (values[from + i] as number)
      }
    }
  return out
}

function wrap(values: Float32Array, [nx, ny, nz]: Vec3, low: number): Float32Array {
  const out = new Float32Array((nx + 2) * (ny + 2) * (nz + 2)).fill(low)
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const from = (k * ny + j) * nx
      out.set(values.subarray(from, from + nx), ((k + 1) * (ny + 2) + j + 1) * (nx + 2) + 1)
    }
  return out
}
