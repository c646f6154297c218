import type { Mesh, Vec3 } from '../space/index.js'
import { CUBE_CASES, CUBE_EDGES } from './cube-cases.js'

/** Values below zero are inside. Fills a layer of the grid, x fastest. */
export type LayerOf = (k: number, values: Float64Array) => void

/** A value of zero lies neither inside nor outside; so near it a corner of the surface would fall onto another. */
const APART = 1e-4

/**
 * The surface `value = 0` on a grid, in grid steps, corners shared, wound outward; closed where the values on the grid's
 * own outside are not below zero. Yields the share that is done after each layer.
 */
export function* marchingCubes([nx, ny, nz]: Vec3, layerOf: LayerOf): Generator<number, Mesh> {
  const plane = nx * ny
  const positions: number[] = []
  const triangles: number[] = []
  let lower = new Float64Array(plane)
  let upper = new Float64Array(plane)
  // Corners of the surface on the edges that begin in the lower and in the upper layer.
  let onLower = new Int32Array(3 * plane).fill(-1)
  let onUpper = new Int32Array(3 * plane).fill(-1)
  const offsets = [0, 1, 2, 3].map((corner) => (corner & 1) + (corner >> 1) * nx)
  const fill = (k: number, values: Float64Array): void => {
    layerOf(k, values)
    for (let n = 0; n < plane; n++)
      if (Math.abs(values[n]) < APART) values[n] = values[n] < 0 ? -APART : APART
  }
  fill(0, lower)
  for (let k = 0; k + 1 < nz; k++) {
    fill(k + 1, upper)
    onUpper.fill(-1)
    const valueAt = (corner: number, at: number) => (corner < 4 ? lower : upper)[at + offsets[corner & 3]]
    const cornerOn = (edge: number, i: number, j: number, at: number): number => {
      const { low, high, axis } = CUBE_EDGES[edge]
      const slots = low < 4 ? onLower : onUpper
      const slot = 3 * (at + offsets[low & 3]) + axis
      if (slots[slot] >= 0) return slots[slot]
      const from = valueAt(low, at)
      const share = from / (from - valueAt(high, at))
      positions.push(
        i + (low & 1) + (axis === 0 ? share : 0),
        j + ((low >> 1) & 1) + (axis === 1 ? share : 0),
        k + (low >> 2) + (axis === 2 ? share : 0),
      )
      slots[slot] = positions.length / 3 - 1
      return slots[slot]
    }
    for (let j = 0; j + 1 < ny; j++)
      for (let i = 0; i + 1 < nx; i++) {
        const at = j * nx + i
        let bits = 0
        if (lower[at] < 0) bits |= 1
        if (lower[at + 1] < 0) bits |= 2
        if (lower[at + nx] < 0) bits |= 4
        if (lower[at + nx + 1] < 0) bits |= 8
        if (upper[at] < 0) bits |= 16
        if (upper[at + 1] < 0) bits |= 32
        if (upper[at + nx] < 0) bits |= 64
        if (upper[at + nx + 1] < 0) bits |= 128
        if (bits === 0 || bits === 255) continue
        for (const edge of CUBE_CASES[bits]) triangles.push(cornerOn(edge, i, j, at))
      }
    ;[lower, upper] = [upper, lower]
    ;[onLower, onUpper] = [onUpper, onLower]
    yield (k + 1) / (nz - 1)
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}
