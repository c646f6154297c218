import type { Vec3 } from '../space/index.js'

/** Data that is missing between scanned places, as slices that are not there are; not what lies round a round field. */
export interface Gaps {
  /** 1 for a cell without a value that has scanned cells on both sides along an axis. */
  readonly between: Uint8Array
  /** The connected part of the scan a cell belongs to, counted from 1; 0 for a cell without a value. */
  readonly part: Uint32Array
}

/** Null when nothing is missing between scanned cells. */
export function findGaps(values: Float32Array, shape: Vec3): Gaps | null {
  const between = new Uint8Array(values.length)
  let found = false
  for (const axis of [0, 1, 2] as const)
    for (const start of lineStarts(shape, axis)) {
      const stride = axis === 0 ? 1 : axis === 1 ? shape[0] : shape[0] * shape[1]
      let last = -1
      for (let n = 0; n < shape[axis]; n++) {
        if (Number.isNaN(values[start + n * stride])) continue
        if (last >= 0 && last < n - 1) {
          found = true
          for (let m = last + 1; m < n; m++) between[start + m * stride] = 1
        }
        last = n
      }
    }
  return found ? { between, part: parts(values, shape) } : null
}

/** The first cell of every line of cells along an axis. */
function* lineStarts([nx, ny, nz]: Vec3, axis: 0 | 1 | 2): Generator<number> {
  const [across, along] = axis === 0 ? [ny, nz] : axis === 1 ? [nx, nz] : [nx, ny]
  const [a, b] = axis === 0 ? [nx, nx * ny] : axis === 1 ? [1, nx * ny] : [1, nx]
  for (let v = 0; v < along; v++) for (let u = 0; u < across; u++) yield u * a + v * b
}

/** Numbers the scanned cells by what they hang together with over their faces. */
function parts(values: Float32Array, [nx, ny, nz]: Vec3): Uint32Array {
  const part = new Uint32Array(values.length)
  const queue = new Uint32Array(values.length)
  let name = 0
  for (let seed = 0; seed < values.length; seed++) {
    if (part[seed] !== 0 || Number.isNaN(values[seed])) continue
    name++
    let tail = 0
    queue[tail++] = seed
    part[seed] = name
    for (let head = 0; head < tail; head++) {
      const n = queue[head]
      const i = n % nx
      const j = Math.floor(n / nx) % ny
      const k = Math.floor(n / (nx * ny))
      const reach = (m: number) => {
        if (part[m] !== 0 || Number.isNaN(values[m])) return
        part[m] = name
        queue[tail++] = m
      }
      if (i > 0) reach(n - 1)
      if (i < nx - 1) reach(n + 1)
      if (j > 0) reach(n - nx)
      if (j < ny - 1) reach(n + nx)
      if (k > 0) reach(n - nx * ny)
      if (k < nz - 1) reach(n + nx * ny)
    }
  }
  return part
}
