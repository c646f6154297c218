import type { Mesh, Vec3 } from '../src/index.js'

/** A cube of side `size` mm with one corner at `at`, wound outward: 8 vertices, 12 triangles. */
export function cube(size: number, at: Vec3 = [0, 0, 0]): Mesh {
  const corner = (n: number): number[] =>
    [n & 1, (n >> 1) & 1, n >> 2].map((bit, axis) => at[axis] + size * bit)
  const quads = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
  ]
  return {
    positions: Float64Array.from([0, 1, 2, 3, 4, 5, 6, 7].flatMap(corner)),
    triangles: Uint32Array.from(quads.flatMap(([a, b, c, d]) => [a, b, c, a, c, d])),
  }
}

/** The mesh with these triangles wound the other way; all of them when none are named. */
export function reversed({ positions, triangles }: Mesh, which?: readonly number[]): Mesh {
  const turned = triangles.slice()
  for (let t = 0; t < triangles.length / 3; t++)
    if (which === undefined || which.includes(t)) turned.subarray(3 * t, 3 * t + 3).reverse()
  return { positions, triangles: turned }
}

/** Several meshes as one. */
export function together(...meshes: readonly Mesh[]): Mesh {
  const triangles: number[] = []
  let first = 0
  for (const mesh of meshes) {
    for (const v of mesh.triangles) triangles.push(first + v)
    first += mesh.positions.length / 3
  }
  return {
    positions: Float64Array.from(meshes.flatMap(({ positions }) => Array.from(positions))),
    triangles: Uint32Array.from(triangles),
  }
}

/** The mesh without some of its triangles. */
export const without = ({ positions, triangles }: Mesh, which: readonly number[]): Mesh => ({
  positions,
  triangles: triangles.filter((_, n) => !which.includes(Math.floor(n / 3))),
})
