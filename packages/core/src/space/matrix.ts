import { mat4 } from 'gl-matrix'
import type { IndexPoint, Vec3, WorldPoint } from './vector.js'

/**
 * A 4 x 4 matrix in float64, column by column as in gl-matrix. Files hold matrices row by row:
 * `fromRows` and `toRows` are the only places where the two orders meet.
 */
export type Mat4 = readonly number[]

const zeros = (): number[] => new Array<number>(16).fill(0)

/** A matrix from 16 numbers, row by row. Throws RangeError unless there are 16 finite numbers. */
export function fromRows(rows: readonly number[]): Mat4 {
  if (rows.length !== 16 || !rows.every(Number.isFinite))
    throw new RangeError(`a matrix needs 16 finite numbers, row by row; got ${rows.length}`)
  return transpose(rows)
}

/** The 16 numbers of a matrix, row by row. */
export const toRows = (m: Mat4): number[] => transpose(m)

const transpose = (m: readonly number[]): number[] => m.map((_, i) => m[(i % 4) * 4 + (i >> 2)])

/** The matrix that takes the unit vectors to x, y, z and the origin to `origin`. */
export const fromFrame = (x: Vec3, y: Vec3, z: Vec3, origin: Vec3): Mat4 => [
  ...[x[0], x[1], x[2], 0],
  ...[y[0], y[1], y[2], 0],
  ...[z[0], z[1], z[2], 0],
  ...[origin[0], origin[1], origin[2], 1],
]

export const multiply = (a: Mat4, b: Mat4): Mat4 =>
  mat4.multiply(zeros() as unknown as mat4, a as mat4, b as mat4) as unknown as number[]

/** The inverse of an affine matrix. Throws RangeError when it has none. */
export function invert(m: Mat4): Mat4 {
  const out = mat4.invert(zeros() as unknown as mat4, m as unknown as mat4)
  if (out === null) throw new RangeError('matrix cannot be inverted')
  return out as unknown as number[]
}

/** `m` applied to a point (translation included). */
export function transformPoint(m: Mat4, p: Vec3): [number, number, number] {
  const [x, y, z] = p
  const at = (row: number) => num(m, row) * x + num(m, row + 4) * y + num(m, row + 8) * z + num(m, row + 12)
  return [at(0), at(1), at(2)]
}

/** `m` applied to a direction (translation ignored). */
export function transformDirection(m: Mat4, d: Vec3): [number, number, number] {
  const [x, y, z] = d
  const at = (row: number) => num(m, row) * x + num(m, row + 4) * y + num(m, row + 8) * z
  return [at(0), at(1), at(2)]
}

/** Column 0 to 3 of a matrix as a vector: the axes and the origin. */
export const column = (m: Mat4, c: 0 | 1 | 2 | 3): [number, number, number] => [
  num(m, c * 4),
  num(m, c * 4 + 1),
  num(m, c * 4 + 2),
]

/** Index to world: the bridge between the two spaces, one way. */
export const toWorld = (indexToWorld: Mat4, index: IndexPoint): WorldPoint =>
  transformPoint(indexToWorld, index)

/** World to index: the bridge between the two spaces, the other way. */
export const toIndex = (worldToIndex: Mat4, world: WorldPoint): IndexPoint =>
  transformPoint(worldToIndex, world)

const num = (m: Mat4, i: number): number => m[i]
