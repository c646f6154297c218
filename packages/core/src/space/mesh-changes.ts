import type { Mesh } from './mesh.js'

/** The mesh with every coordinate times `k`, which is positive: another unit. */
export const scaledMesh = (mesh: Mesh, k: number): Mesh => ({
  positions: mesh.positions.map((value) => value * k),
  triangles: mesh.triangles,
})

/**
 * The mesh in the other patient space: from RAS to LPS or back, x and y turned over. That is half a turn about z, so
 * the winding stays.
 */
export const lpsRasSwapped = (mesh: Mesh): Mesh => ({
  positions: mesh.positions.map((value, i) => (i % 3 < 2 ? 0 - value : value)),
  triangles: mesh.triangles,
})

/** The mirror image across the plane x = 0. The winding is turned over with it, so that outside stays outside. */
export function mirroredMesh(mesh: Mesh): Mesh {
  const triangles = mesh.triangles.slice()
  for (let t = 0; t + 2 < triangles.length; t += 3) {
    triangles[t + 1] = mesh.triangles[t + 2]
    triangles[t + 2] = mesh.triangles[t + 1]
  }
  return { positions: mesh.positions.map((value, i) => (i % 3 === 0 ? 0 - value : value)), triangles }
}
