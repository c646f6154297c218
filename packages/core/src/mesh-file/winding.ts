import type { Mesh } from '../space/index.js'
import { edgeRings } from './edges.js'

/** A mesh whose neighbouring triangles are wound alike, and what hangs together in it. */
export interface WoundMesh {
  readonly mesh: Mesh
  /** See edgeRings. */
  readonly rings: Int32Array
  /** The shell of each triangle: those that hang together over edges, numbered from 0. */
  readonly shellOf: Int32Array
  readonly shells: number
  /** Triangles that were turned over. */
  readonly turned: number
  /** By shell: 1 where no winding is possible because the surface has one side only. */
  readonly oneSided: Uint8Array
}

/**
 * Turns over the triangles that are wound against their neighbours: across every edge of two faces both run along it
 * in opposite directions. Of a patch that hangs together over such edges the smaller part is turned, so that one
 * reversed face follows the others. Edges with more faces are left as they are.
 */
export function windAlike({ positions, triangles }: Mesh): WoundMesh {
  const count = triangles.length / 3
  const rings = edgeRings({ positions, triangles })
  const turn = new Uint8Array(count)
  const reached = new Uint8Array(count)
  const conflicts: number[] = []
  const queue = new Int32Array(count)
  let turned = 0
  let end = 0
  for (let seed = 0; seed < count; seed++) {
    if (reached[seed]) continue
    const start = end
    reached[seed] = 1
    queue[end++] = seed
    let against = 0
    for (let at = start; at < end; at++) {
      const triangle = queue[at]
      for (let h = 3 * triangle; h < 3 * triangle + 3; h++) {
        const other = rings[h]
        if (other === h || rings[other] !== h) continue
        const neighbour = Math.floor(other / 3)
        const wanted = turn[triangle] ^ (triangles[h] === triangles[other] ? 1 : 0)
        if (!reached[neighbour]) {
          reached[neighbour] = 1
          turn[neighbour] = wanted
          against += wanted
          queue[end++] = neighbour
        } else if (turn[neighbour] !== wanted) conflicts.push(triangle)
      }
    }
    const most = 2 * against > end - start
    if (most) for (let at = start; at < end; at++) turn[queue[at]] ^= 1
    turned += most ? end - start - against : against
  }
  const { shellOf, shells } = shellsOf(count, rings)
  const oneSided = new Uint8Array(shells)
  for (const triangle of conflicts) oneSided[shellOf[triangle]] = 1
  const mesh = turned > 0 ? { positions, triangles: turnedOver(triangles, turn) } : { positions, triangles }
  return {
    mesh,
    // Turning a triangle over renames its half-edges.
    rings: turned > 0 ? edgeRings(mesh) : rings,
    shellOf,
    shells,
    turned,
    oneSided,
  }
}

/** What hangs together over edges of any number of faces. */
export function shellsOf(count: number, rings: Int32Array): { shellOf: Int32Array; shells: number } {
  const shellOf = new Int32Array(count).fill(-1)
  const queue = new Int32Array(count)
  let shells = 0
  for (let seed = 0; seed < count; seed++) {
    if (shellOf[seed] >= 0) continue
    let end = 0
    shellOf[seed] = shells
    queue[end++] = seed
    for (let at = 0; at < end; at++)
      for (let h = 3 * queue[at]; h < 3 * queue[at] + 3; h++) {
        const neighbour = Math.floor(rings[h] / 3)
        if (shellOf[neighbour] >= 0) continue
        shellOf[neighbour] = shells
        queue[end++] = neighbour
      }
    shells++
  }
  return { shellOf, shells }
}

function turnedOver(triangles: Uint32Array, turn: Uint8Array): Uint32Array {
  const out = triangles.slice()
  for (let t = 0; t < turn.length; t++) {
    if (!turn[t]) continue
    out[3 * t + 1] = triangles[3 * t + 2]
    out[3 * t + 2] = triangles[3 * t + 1]
  }
  return out
}
