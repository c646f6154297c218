import type { Vec3 } from '../space/index.js'
import { cross } from '../space/index.js'

/** Three directions at right angles along which points spread most to least; right-handed. Jacobi's rotations. */
export function principalAxes(points: Float64Array, centre: Vec3): [Vec3, Vec3, Vec3] {
  const a = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ]
  for (let i = 0; i < points.length; i += 3)
    for (let r = 0; r < 3; r++)
      for (let c = 0; c < 3; c++) a[r][c] += (points[i + r] - centre[r]) * (points[i + c] - centre[c])
  const v = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ]
  for (let sweep = 0; sweep < 12; sweep++)
    for (const [p, q] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ]) {
      if (Math.abs(a[p][q]) <= 1e-15 * (Math.abs(a[p][p]) + Math.abs(a[q][q]))) continue
      const theta = 0.5 * Math.atan2(2 * a[p][q], a[q][q] - a[p][p])
      const c = Math.cos(theta)
      const s = Math.sin(theta)
      for (let k = 0; k < 3; k++) [a[k][p], a[k][q]] = [c * a[k][p] - s * a[k][q], s * a[k][p] + c * a[k][q]]
      for (let k = 0; k < 3; k++) [a[p][k], a[q][k]] = [c * a[p][k] - s * a[q][k], s * a[p][k] + c * a[q][k]]
      for (let k = 0; k < 3; k++) [v[k][p], v[k][q]] = [c * v[k][p] - s * v[k][q], s * v[k][p] + c * v[k][q]]
    }
  const order = [0, 1, 2].sort((m, n) => a[n][n] - a[m][m])
  const axis = (n: number): Vec3 => [v[0][n], v[1][n], v[2][n]]
  const first = axis(order[0])
  const second = axis(order[1])
  return [first, second, cross(first, second)]
}
