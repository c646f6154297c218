import { column, type Mat4, multiply } from '@alveometer/core'

/** Start and step of a row of voxels in the jaw's frame. */
export interface Row {
  readonly x: number
  readonly y: number
  readonly z: number
  readonly dx: number
  readonly dy: number
  readonly dz: number
}

/** Rows of a grid as the jaw sees them: hundreds of voxels share one matrix product. */
export function rowsOf(indexToWorld: Mat4, worldToJaw: Mat4): (j: number, k: number) => Row {
  const m = multiply(worldToJaw, indexToWorld)
  const [dx, dy, dz] = column(m, 0)
  const b = column(m, 1)
  const c = column(m, 2)
  const o = column(m, 3)
  return (j, k) => ({
    x: o[0] + j * b[0] + k * c[0],
    y: o[1] + j * b[1] + k * c[1],
    z: o[2] + j * b[2] + k * c[2],
    dx,
    dy,
    dz,
  })
}
