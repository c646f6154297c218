import { cross } from '../space/index.js'

/** Outward unit normals of a surface given by distances from the axis, in the fixture frame, xyz node by node. */
export function surfaceNormals(
  radiusMm: Float64Array,
  depthsMm: readonly number[],
  anglesDeg: readonly number[],
): Float64Array {
  const columns = anglesDeg.length
  const rows = depthsMm.length
  const turns = anglesDeg.map((angle) => (angle * Math.PI) / 180)
  const normals = new Float64Array(3 * radiusMm.length)
  const difference = (row: number, column: number, row2: number, column2: number) => {
    const [r, s] = [radiusMm[row * columns + column], radiusMm[row2 * columns + column2]]
    return [
      s * Math.cos(turns[column2]) - r * Math.cos(turns[column]),
      s * Math.sin(turns[column2]) - r * Math.sin(turns[column]),
      depthsMm[row2] - depthsMm[row],
    ] as const
  }
  for (let row = 0; row < rows; row++)
    for (let c = 0; c < columns; c++) {
      const round = difference(row, (c + columns - 1) % columns, row, (c + 1) % columns)
      const down = difference(Math.max(0, row - 1), c, Math.min(rows - 1, row + 1), c)
      const [x, y, z] = cross(round, down)
      const size = Math.hypot(x, y, z)
      normals.set([x / size, y / size, z / size], 3 * (row * columns + c))
    }
  return normals
}
