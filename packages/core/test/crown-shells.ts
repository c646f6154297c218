import type { Crown } from '../src/crown/index.js'
import { type Mat4, type Mesh, transformPoint, vertex } from '../src/space/index.js'

export function movedMesh(mesh: Mesh, matrix: Mat4): Mesh {
  const positions = new Float64Array(mesh.positions.length)
  for (let i = 0; i < positions.length / 3; i++) positions.set(transformPoint(matrix, vertex(mesh, i)), 3 * i)
  return { positions, triangles: mesh.triangles }
}

/** The crown's mesh without those triangles. */
export const without = (mesh: Mesh, dropped: (triangle: number) => boolean): Mesh => ({
  positions: mesh.positions,
  triangles: mesh.triangles.filter((_, i) => !dropped(Math.floor(i / 3))),
})

/** The shell of a crown: open at its cervical end. */
export const withoutBase = ({ mesh, regions }: Crown): Mesh =>
  without(mesh, (triangle) => regions[triangle] === 'base')
