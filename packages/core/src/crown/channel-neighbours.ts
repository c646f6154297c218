import type { Mesh } from '../space/index.js'

/**
 * The triangles beyond a triangle's three edges (first to second corner, second to third, third to first), three a
 * triangle, -1 where there is none. Triangles meet where they share two corners of the same coordinates, whether or
 * not these are the same vertex; of more than two at an edge each finds one other at most.
 */
export function neighboursOf({ positions, triangles }: Mesh): Int32Array {
  const corner = firstAtPlace(positions)
  const neighbours = new Int32Array(triangles.length).fill(-1)
  const next = (i: number) => (i % 3 === 2 ? i - 2 : i + 1)
  const low = (i: number) => Math.min(corner[triangles[i]], corner[triangles[next(i)]])
  const high = (i: number) => Math.max(corner[triangles[i]], corner[triangles[next(i)]])
  const table = emptyTable(triangles.length)
  for (let i = 0; i < triangles.length; i++) {
    const a = low(i)
    const b = high(i)
    let at = mixed(a, b, 0) & (table.length - 1)
    while (table[at] >= 0 && !(low(table[at]) === a && high(table[at]) === b && neighbours[table[at]] < 0))
      at = (at + 1) & (table.length - 1)
    const other = table[at]
    if (other < 0) table[at] = i
    else {
      neighbours[i] = Math.floor(other / 3)
      neighbours[other] = Math.floor(i / 3)
    }
  }
  return neighbours
}

/** For each vertex the first one at its place. */
function firstAtPlace(positions: Float64Array): Uint32Array {
  // -0 is at the place of 0.
  const values = positions.map((value) => value + 0)
  const bits = new Uint32Array(values.buffer)
  const count = values.length / 3
  const table = emptyTable(count)
  const first = new Uint32Array(count)
  for (let n = 0; n < count; n++) {
    let hash = 0
    for (let word = 6 * n; word < 6 * n + 6; word += 2) hash = mixed(bits[word], bits[word + 1], hash)
    let at = hash & (table.length - 1)
    while (table[at] >= 0 && !samePlace(values, table[at], n)) at = (at + 1) & (table.length - 1)
    if (table[at] < 0) table[at] = n
    first[n] = table[at]
  }
  return first
}

const samePlace = (p: Float64Array, m: number, n: number): boolean =>
  p[3 * m] === p[3 * n] && p[3 * m + 1] === p[3 * n + 1] && p[3 * m + 2] === p[3 * n + 2]

/** A table of a power of two places, at most half of which `count` entries fill; -1 where it is empty. */
const emptyTable = (count: number): Int32Array =>
  new Int32Array(2 ** Math.ceil(Math.log2(2 * Math.max(2, count)))).fill(-1)

/** The mixing of MurmurHash3 (Appleby), of two words more. */
function mixed(a: number, b: number, seed: number): number {
  let hash = seed ^ Math.imul(a, 0xcc9e2d51)
  hash = Math.imul((hash << 13) | (hash >>> 19), 0x1b873593) ^ b
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b)
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35)
  return hash ^ (hash >>> 16)
}
