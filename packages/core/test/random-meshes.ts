import type { Mesh } from '../src/space/index.js'

/** Numbers from 0 to 1 that are the same for the same seed: mulberry32. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

/** Triangles about 1 mm across, strewn round a crown's place without any order. */
export function soup(next: () => number, count: number): Mesh {
  const positions = new Float64Array(9 * count)
  for (let t = 0; t < count; t++) {
    const middle = [8 * next() - 4, 8 * next() - 4, 12 * next() - 11]
    for (let i = 0; i < 9; i++) positions[9 * t + i] = middle[i % 3] + 2 * next() - 1
  }
  return { positions, triangles: Uint32Array.from({ length: 3 * count }, (_, i) => i) }
}

/** Every triangle cut into n x n alike ones; corners that meet become one. */
export function subdivided(mesh: Mesh, n: number): Mesh {
  const positions = [...mesh.positions]
  const triangles: number[] = []
  const known = new Map<string, number>()
  const corner = (shares: readonly (readonly [number, number])[]): number => {
    const parts = shares.filter(([, share]) => share > 0).sort((a, b) => a[0] - b[0])
    const key = parts.map(([vertex, share]) => `${vertex}:${share}`).join(' ')
    const made = known.get(key)
    if (made !== undefined) return made
    const at = positions.length / 3
    for (let k = 0; k < 3; k++)
      positions.push(
        parts.reduce((sum, [vertex, share]) => sum + (share / n) * mesh.positions[3 * vertex + k], 0),
      )
    known.set(key, at)
    return at
  }
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = mesh.triangles.subarray(t, t + 3)
    const at = (i: number, j: number) =>
      corner([
        [a, n - i - j],
        [b, i],
        [c, j],
      ])
    for (let i = 0; i < n; i++)
      for (let j = 0; i + j < n; j++) {
        triangles.push(at(i, j), at(i + 1, j), at(i, j + 1))
        if (i + j + 1 < n) triangles.push(at(i + 1, j), at(i + 1, j + 1), at(i, j + 1))
      }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}
