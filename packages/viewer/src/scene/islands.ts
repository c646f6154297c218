import type { Mesh } from '@alveometer/core'

/** A mesh without its connected parts of fewer than `fewest` triangles. The largest part always stays. */
export function dropIslands(mesh: Mesh, fewest: number): Mesh {
  const { positions, triangles } = mesh
  const parent = Uint32Array.from({ length: positions.length / 3 }, (_, v) => v)
  const root = (v: number): number => {
    let at = v
    while (parent[at] !== at) {
      parent[at] = parent[parent[at] as number] as number
      at = parent[at] as number
    }
    return at
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const a = root(triangles[t] as number)
    parent[root(triangles[t + 1] as number)] = a
    parent[root(triangles[t + 2] as number)] = a
  }
  const size = new Uint32Array(parent.length)
  for (let t = 0; t < triangles.length; t += 3) {
    const r = root(triangles[t] as number)
    size[r] = (size[r] as number) + 1
  }
  const least = Math.min(
    fewest,
    size.reduce((most, n) => Math.max(most, n), 0),
  )

  const renumbered = new Int32Array(parent.length).fill(-1)
  const keptPositions: number[] = []
  const keptTriangles: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    if ((size[root(triangles[t] as number)] as number) < least) continue
    for (let c = 0; c < 3; c++) {
      const v = triangles[t + c] as number
      if (renumbered[v] === -1) {
        renumbered[v] = keptPositions.length / 3
        keptPositions.push(
          positions[3 * v] as number,
          positions[3 * v + 1] as number,
          positions[3 * v + 2] as number,
        )
      }
      keptTriangles.push(renumbered[v] as number)
    }
  }
  return { positions: Float64Array.from(keptPositions), triangles: Uint32Array.from(keptTriangles) }
}
