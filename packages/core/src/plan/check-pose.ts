import { column, cross, dot, fromRows } from '../space/index.js'
import { finite, shown } from './fields.js'
import { PlanError } from './plan-error.js'

/** 16 numbers row by row that turn and move only: no scale, no mirror. */
export function checkPose(value: unknown, path: string): void {
  if (!Array.isArray(value) || value.length !== 16)
    throw new PlanError(path, `must be 16 numbers, row by row, got ${shown(value)}`)
  const rows = value.map((v, n) => finite(v, `${path}[${n}]`))
  if (rows[12] !== 0 || rows[13] !== 0 || rows[14] !== 0 || rows[15] !== 1)
    throw new PlanError(path, 'must end in 0, 0, 0, 1: the numbers run row by row')
  const m = fromRows(rows)
  const [x, y, z] = [column(m, 0), column(m, 1), column(m, 2)]
  const off = [dot(x, x) - 1, dot(y, y) - 1, dot(z, z) - 1, dot(x, y), dot(y, z), dot(z, x)]
  if (!off.every((d) => Math.abs(d) <= 1e-4) || dot(cross(x, y), z) < 0)
    throw new PlanError(path, 'must turn and move only: it has scale, shear or a mirror')
}
