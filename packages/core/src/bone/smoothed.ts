import type { IndexBox, IndexSampler, Volume } from '../volume/index.js'
import { gaussianKernel } from './kernel.js'

const BLOCK = 32

/**
 * A sampler over the blurred volume for a box of voxels that must be asked for first. Who asks for a large box piece by
 * piece names it as the room: memory is laid out for all of it at once.
 */
export type SmoothedSampler = (box: IndexBox, room?: IndexBox) => IndexSampler

/**
 * The volume blurred by a Gaussian of `sigmaMm`, worked out in blocks where it is asked for. A block's values depend
 * on the voxels alone, never on what was asked before, so the same question always gets the same number.
 * Voxels without data stay NaN and are left out of their neighbours' averages.
 */
export function smoothedSampler(volume: Volume, sigmaMm: number): SmoothedSampler {
  let window: Window | null = null
  return (box, room = box) => {
    if (window === null || !holds(window, room)) window = createWindow(volume, room)
    fill(volume, window, box, sigmaMm)
    return sampleWindow(window)
  }
}

interface Window {
  readonly start: readonly [number, number, number]
  readonly shape: readonly [number, number, number]
  readonly values: Float32Array
  readonly done: Set<string>
}

const snapDown = (n: number) => Math.floor(n / BLOCK) * BLOCK
const snapUp = (n: number) => Math.ceil(n / BLOCK) * BLOCK

/** A window of whole blocks round the box with room to move, so that a drag seldom needs a new one. */
function createWindow(volume: Volume, box: IndexBox): Window {
  const start = [0, 1, 2].map((a) => Math.max(0, snapDown(box.start[a] - 2 * BLOCK))) as [
    number,
    number,
    number,
  ]
  const shape = [0, 1, 2].map((a) => {
    const end = Math.min(volume.shape[a], snapUp(box.start[a] + box.shape[a] + 2 * BLOCK))
    return end - start[a]
  }) as [number, number, number]
  return { start, shape, values: new Float32Array(shape[0] * shape[1] * shape[2]), done: new Set() }
}

const holds = (window: Window, box: IndexBox): boolean =>
  [0, 1, 2].every(
    (a) =>
      box.start[a] >= window.start[a] && box.start[a] + box.shape[a] <= window.start[a] + window.shape[a],
  )

function fill(volume: Volume, window: Window, box: IndexBox, sigmaMm: number): void {
  const [x0, y0, z0] = box.start
  for (let k = snapDown(z0); k < z0 + box.shape[2]; k += BLOCK)
    for (let j = snapDown(y0); j < y0 + box.shape[1]; j += BLOCK)
      for (let i = snapDown(x0); i < x0 + box.shape[0]; i += BLOCK) {
        const name = `${i},${j},${k}`
        if (window.done.has(name)) continue
        blurBlock(volume, window, [i, j, k], sigmaMm)
        window.done.add(name)
      }
}

/** Blurs one block, axis by axis, with a halo as wide as the kernel. */
function blurBlock(
  volume: Volume,
  window: Window,
  at: readonly [number, number, number],
  sigmaMm: number,
): void {
  const kernels = volume.spacingMm.map((h) => gaussianKernel(sigmaMm / h))
  const low = [0, 1, 2].map((a) => Math.max(0, at[a] - (kernels[a]?.radius ?? 0)))
  const high = [0, 1, 2].map((a) => Math.min(volume.shape[a], at[a] + BLOCK + (kernels[a]?.radius ?? 0)))
  let size = [0, 1, 2].map((a) => high[a] - low[a]) as [number, number, number]
  let values = readBox(volume, low as [number, number, number], size)
  const blurAxis = isWhole(values) ? blurWhole : blurKnown
  const keep = [0, 1, 2].map((a) => Math.min(BLOCK, volume.shape[a] - at[a])) as [number, number, number]
  for (const axis of [0, 1, 2] as const) {
    const out: [number, number, number] = [...size]
    out[axis] = keep[axis]
    values = blurAxis(values, size, out, axis, at[axis] - low[axis], kernels[axis] as Kernel)
    size = out
  }
  writeBlock(volume, window, at, keep, values)
}

type Kernel = ReturnType<typeof gaussianKernel>

function readBox(
  volume: Volume,
  low: readonly [number, number, number],
  size: readonly [number, number, number],
): Float32Array {
  const { data, noData } = volume
  const [sx, sy, sz] = volume.stride
  const values = new Float32Array(size[0] * size[1] * size[2])
  let n = 0
  for (let k = 0; k < size[2]; k++)
    for (let j = 0; j < size[1]; j++) {
      let from = volume.offset + low[0] * sx + (low[1] + j) * sy + (low[2] + k) * sz
      for (let i = 0; i < size[0]; i++, n++, from += sx) {
        const v = data[from]
        values[n] = v === noData ? Number.NaN : v
      }
    }
  return values
}

function isWhole(values: Float32Array): boolean {
  let sum = 0
  for (let n = 0; n < values.length; n++) sum += values[n]
  return !Number.isNaN(sum)
}

/** Blurs along an axis where no voxel is missing: the same numbers as blurKnown, bit by bit, in half the time. */
function blurWhole(
  values: Float32Array,
  size: readonly [number, number, number],
  out: readonly [number, number, number],
  axis: 0 | 1 | 2,
  shift: number,
  { weights, radius }: Kernel,
): Float32Array {
  const stride = axis === 0 ? 1 : axis === 1 ? size[0] : size[0] * size[1]
  const result = new Float32Array(out[0] * out[1] * out[2])
  const row = new Float64Array(out[0])
  for (let k = 0; k < out[2]; k++)
    for (let j = 0; j < out[1]; j++) {
      const from = size[0] * (j + size[1] * k) + shift * stride
      const to = out[0] * (j + out[1] * k)
      if (axis === 0) {
        for (let i = 0; i < out[0]; i++) {
          const last = Math.min(radius, size[0] - 1 - i - shift)
          let sum = 0
          let weight = 0
          for (let t = Math.max(-radius, -i - shift); t <= last; t++) {
            sum += weights[t + radius] * values[from + i + t]
            weight += weights[t + radius]
          }
          result[to + i] = sum / weight
        }
        continue
      }
      // Tap by tap, so that memory is read as it lies.
      const along = (axis === 1 ? j : k) + shift
      const last = Math.min(radius, size[axis] - 1 - along)
      let weight = 0
      let t = Math.max(-radius, -along)
      for (let tap = t; tap <= last; tap++) weight += weights[tap + radius]
      row.fill(0)
      for (; t + 3 <= last; t += 4) addFour(row, values, from + t * stride, stride, weights, t + radius)
      for (; t <= last; t++) {
        const w = weights[t + radius]
        const start = from + t * stride
        for (let i = 0; i < row.length; i++) row[i] += w * values[start + i]
      }
      for (let i = 0; i < row.length; i++) result[to + i] = row[i] / weight
    }
  return result
}

/** Adds four rows in one go, in the order of one after the other. */
function addFour(
  row: Float64Array,
  values: Float32Array,
  start: number,
  stride: number,
  weights: Float64Array,
  tap: number,
): void {
  const a = weights[tap]
  const b = weights[tap + 1]
  const c = weights[tap + 2]
  const d = weights[tap + 3]
  for (let i = 0, n = start; i < row.length; i++, n++) {
    let sum = row[i] + a * values[n]
    sum += b * values[n + stride]
    sum += c * values[n + 2 * stride]
    row[i] = sum + d * values[n + 3 * stride]
  }
}

/** Blurs along an axis, leaving out voxels without data. */
function blurKnown(
  values: Float32Array,
  size: readonly [number, number, number],
  out: readonly [number, number, number],
  axis: 0 | 1 | 2,
  shift: number,
  { weights, radius }: Kernel,
): Float32Array {
  const stride = axis === 0 ? 1 : axis === 1 ? size[0] : size[0] * size[1]
  const limit = size[axis]
  const result = new Float32Array(out[0] * out[1] * out[2])
  let n = 0
  for (let k = 0; k < out[2]; k++)
    for (let j = 0; j < out[1]; j++)
      for (let i = 0; i < out[0]; i++, n++) {
        const along = (axis === 0 ? i : axis === 1 ? j : k) + shift
        const base = i + size[0] * (j + size[1] * k) + shift * stride
        let sum = 0
        let weight = 0
        for (let t = -radius; t <= radius; t++) {
          if (along + t < 0 || along + t >= limit) continue
          const v = values[base + t * stride]
          if (Number.isNaN(v)) continue
          const w = weights[t + radius]
          sum += w * v
          weight += w
        }
        result[n] = sum / weight
      }
  return result
}

function writeBlock(
  volume: Volume,
  window: Window,
  at: readonly [number, number, number],
  keep: readonly [number, number, number],
  values: Float32Array,
): void {
  const { data, noData } = volume
  const [sx, sy, sz] = volume.stride
  let n = 0
  for (let k = 0; k < keep[2]; k++)
    for (let j = 0; j < keep[1]; j++) {
      const row =
        at[0] -
        window.start[0] +
        window.shape[0] * (at[1] + j - window.start[1] + window.shape[1] * (at[2] + k - window.start[2]))
      const source = volume.offset + at[0] * sx + (at[1] + j) * sy + (at[2] + k) * sz
      for (let i = 0; i < keep[0]; i++, n++)
        window.values[row + i] = data[source + i * sx] === noData ? Number.NaN : values[n]
    }
}

/** Trilinear sampling of the window in volume index space; NaN beyond it. */
function sampleWindow(window: Window): IndexSampler {
  const { values } = window
  const [nx, ny, nz] = window.shape
  const [x0, y0, z0] = window.start
  const plane = nx * ny
  return (i, j, k) => {
    const x = i - x0
    const y = j - y0
    const z = k - z0
    if (!(x >= 0 && y >= 0 && z >= 0 && x <= nx - 1 && y <= ny - 1 && z <= nz - 1)) return Number.NaN
    const i0 = Math.min(x | 0, nx - 2)
    const j0 = Math.min(y | 0, ny - 2)
    const k0 = Math.min(z | 0, nz - 2)
    const fx = x - i0
    const fy = y - j0
    const at = i0 + nx * j0 + plane * k0
    const a = values[at]
    const b = values[at + nx]
    const c = values[at + plane]
    const d = values[at + plane + nx]
    const v00 = a + (values[at + 1] - a) * fx
    const v10 = b + (values[at + nx + 1] - b) * fx
    const v01 = c + (values[at + plane + 1] - c) * fx
    const v11 = d + (values[at + plane + nx + 1] - d) * fx
    const v0 = v00 + (v10 - v00) * fy
    return v0 + (v01 + (v11 - v01) * fy - v0) * (z - k0)
  }
}
