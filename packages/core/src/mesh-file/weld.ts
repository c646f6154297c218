import type { Mesh } from '../space/index.js'

/** Numbers places in the order of their coming: equal coordinates, equal number. */
export interface Welder {
  /** The number of a place. */
  place(x: number, y: number, z: number): number
  readonly count: () => number
  /** xyz of every place. */
  positions(): Float64Array
}

export function createWelder(): Welder {
  const positions: number[] = []
  let table = new Int32Array(1024).fill(-1)
  const scratch = new Float64Array(3)
  const bits = new Uint32Array(scratch.buffer)
  const slotOf = (x: number, y: number, z: number): number => {
    scratch[0] = x
    scratch[1] = y
    scratch[2] = z
    let hash = 0
    for (let i = 0; i < 6; i++) {
      hash = Math.imul(hash ^ bits[i], 0x9e3779b1)
      hash ^= hash >>> 15
    }
    return hash & (table.length - 1)
  }
  const find = (x: number, y: number, z: number): number => {
    let slot = slotOf(x, y, z)
    for (; table[slot] >= 0; slot = (slot + 1) & (table.length - 1)) {
      const at = 3 * table[slot]
      if (positions[at] === x && positions[at + 1] === y && positions[at + 2] === z) break
    }
    return slot
  }
  const grow = (): void => {
    table = new Int32Array(2 * table.length).fill(-1)
    for (let n = 0; n < positions.length / 3; n++)
      table[find(positions[3 * n], positions[3 * n + 1], positions[3 * n + 2])] = n
  }
  return {
    place(px, py, pz) {
      // 0 and -0 are one place.
      const [x, y, z] = [px + 0, py + 0, pz + 0]
      const slot = find(x, y, z)
      if (table[slot] >= 0) return table[slot]
      const number = positions.length / 3
      table[slot] = number
      positions.push(x, y, z)
      if (2 * (number + 1) > table.length) grow()
      return number
    },
    count: () => positions.length / 3,
    positions: () => new Float64Array(positions),
  }
}

export interface TidyMesh {
  readonly mesh: Mesh
  /** Triangles with two corners in one place, left out. */
  readonly degenerate: number
}

/**
 * The mesh with one vertex for each place, without triangles of which two corners are one (leaving those out opens
 * nothing) and without vertices that no triangle has. Vertices come in the order in which triangles first name them,
 * so that a mesh is the same whichever format it travelled in.
 */
export function tidy({ positions, triangles }: Mesh): TidyMesh {
  const welder = createWelder()
  const kept: number[] = []
  let degenerate = 0
  const same = (a: number, b: number): boolean =>
    positions[3 * a] === positions[3 * b] &&
    positions[3 * a + 1] === positions[3 * b + 1] &&
    positions[3 * a + 2] === positions[3 * b + 2]
  for (let t = 0; t + 2 < triangles.length; t += 3) {
    const corners = [triangles[t], triangles[t + 1], triangles[t + 2]] as const
    const [a, b, c] = corners
    if (same(a, b) || same(b, c) || same(c, a)) degenerate++
    else
      for (const v of corners)
        kept.push(welder.place(positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]))
  }
  return { mesh: { positions: welder.positions(), triangles: new Uint32Array(kept) }, degenerate }
}
