import type { Mesh } from '../space/index.js'

/**
 * For each half-edge of a mesh the next one on the same edge, going round in a circle: itself where the edge has one
 * face, and back after two steps where it has two. Half-edge 3 t + k runs from corner k of triangle t to the next
 * corner.
 */
export function edgeRings({ triangles }: Mesh): Int32Array {
  const count = triangles.length
  const next = new Int32Array(count)
  const size = 2 ** Math.ceil(Math.log2(2 * count + 2))
  const table = new Int32Array(size).fill(-1)
  for (let h = 0; h < count; h++) {
    const from = triangles[h]
    const to = triangles[following(h)]
    const low = Math.min(from, to)
    const high = Math.max(from, to)
    let slot = hashOf(low, high) & (size - 1)
    for (; table[slot] >= 0; slot = (slot + 1) & (size - 1)) {
      const other = table[slot]
      const [a, b] = [triangles[other], triangles[following(other)]]
      if (Math.min(a, b) === low && Math.max(a, b) === high) break
    }
    const head = table[slot]
    if (head < 0) {
      table[slot] = h
      next[h] = h
    } else {
      next[h] = next[head]
      next[head] = h
    }
  }
  return next
}

/** The half-edge after `h` in its triangle. */
export const following = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1)

const hashOf = (low: number, high: number): number => {
  const mixed = Math.imul(low, 0x9e3779b1) ^ Math.imul(high, 0x85ebca6b)
  return mixed ^ (mixed >>> 15)
}
