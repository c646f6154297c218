import type { StackGeometry } from '../geometry/index.js'
import type { LoadedBox } from './reduction.js'

/**
 * Puts slices into the box that is loaded, one after the other: moved sideways to their place, cut to the region and
 * averaged to half resolution where that is asked for. Values in between are linear; NaN, "no data", wins.
 */
export class PlaneWriter {
  private readonly plane: Float32Array
  private readonly pair: Float32Array | null
  /** The plane of the last slice of which the other half is still to come; -1 when there is none. */
  private waiting = -1

  private readonly store: (offset: number, values: Float32Array) => void
  private readonly sliceShape: StackGeometry['sliceShape']
  private readonly box: LoadedBox

  /** @param store takes a finished plane, NaN for no data, at its offset in the box. */
  constructor(
    store: (offset: number, values: Float32Array) => void,
    sliceShape: StackGeometry['sliceShape'],
    box: LoadedBox,
  ) {
    this.store = store
    this.sliceShape = sliceShape
    this.box = box
    const { from, to } = box.region
    const size = ((to[0] as number) - from[0]) * (to[1] - from[1])
    this.plane = new Float32Array(size)
    this.pair = box.half ? new Float32Array(size) : null
  }

  /** @param k plane of the whole box; @param values row by row, columns x rows of the slice. */
  put(k: number, shift: readonly [number, number], values: Float32Array): void {
    const plane = k - this.box.region.from[2]
    this.cut(shift, values)
    if (this.pair === null) this.write(plane, this.plane)
    else if (plane % 2 === 0) {
      this.pair.set(this.plane)
      this.waiting = plane
    } else {
      const other = this.waiting === plane - 1 ? this.pair : null
      this.waiting = -1
      this.writeHalf(plane >> 1, other)
    }
  }

  private write(plane: number, values: Float32Array): void {
    if (plane < this.box.shape[2]) this.store(plane * values.length, values)
  }

  /** The wanted part of the slice, moved to its place. */
  private cut([shiftI, shiftJ]: readonly [number, number], values: Float32Array): void {
    const { from, to } = this.box.region
    const [columns, rows] = this.sliceShape
    const width = to[0] - from[0]
    // A point of the box lies at its own index less the shift in the slice: whole part and rest are the same for all.
    const [i0, fi] = parts(from[0] - shiftI)
    const [j0, fj] = parts(from[1] - shiftJ)
    for (let j = from[1]; j < to[1]; j++) {
      const row = j0 + j - from[1]
      const out = (j - from[1]) * width
      const rowInside = row >= 0 && (fj > 0 ? row + 1 < rows : row < rows)
      if (!rowInside) {
        this.plane.fill(Number.NaN, out, out + width)
        continue
      }
      const above = row * columns
      const below = fj > 0 ? above + columns : above
      for (let n = 0; n < width; n++) {
        const i = i0 + n
        const inside = i >= 0 && (fi > 0 ? i + 1 < columns : i < columns)
        if (!inside) this.plane[out + n] = Number.NaN
        else {
          const right = fi > 0 ? i + 1 : i
          const top = mix(values[above + i] as number, values[above + right] as number, fi)
          const bottom = mix(values[below + i] as number, values[below + right] as number, fi)
          this.plane[out + n] = mix(top, bottom, fj)
        }
      }
    }
  }

  /** Means of 2 x 2 x 2; without the slice before, no data. */
  private writeHalf(plane: number, before: Float32Array | null): void {
    const { from, to } = this.box.region
    const [nx, ny] = this.box.shape
    const width = to[0] - from[0]
    if (plane >= this.box.shape[2]) return
    const mean = new Float32Array(nx * ny).fill(Number.NaN)
    for (let j = 0; before !== null && j < ny; j++)
      for (let i = 0; i < nx; i++) {
        const a = 2 * j * width + 2 * i
        const b = a + width
        const sum = (p: Float32Array) =>
          (p[a] as number) + (p[a + 1] as number) + (p[b] as number) + (p[b + 1] as number)
        mean[j * nx + i] = (sum(before) + sum(this.plane)) / 8
      }
    this.write(plane, mean)
  }
}

const mix = (a: number, b: number, f: number) => (f === 0 ? a : a + (b - a) * f)

/** Below this part of a voxel a shift is rounding of the file. */
const ROUNDING = 1e-3

function parts(value: number): [whole: number, rest: number] {
  const near = Math.round(value)
  if (Math.abs(value - near) < ROUNDING) return [near, 0]
  const whole = Math.floor(value)
  return [whole, value - whole]
}
