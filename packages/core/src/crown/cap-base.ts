import type { Mesh, Vec3 } from '../space/index.js'
import { vertex } from '../space/index.js'

/** A hole of a mesh: the numbers of the vertices round it, in the sense of its triangles. */
export type HoleLoop = readonly number[]

/**
 * The holes of a mesh whose triangles share their vertices and are wound alike: the loops of edges that only one
 * triangle runs along, the longest first. Empty for a closed mesh.
 */
export function holesOf({ triangles, positions }: Mesh): HoleLoop[] {
  const count = positions.length / 3
  const edges = new Set<number>()
  for (let h = 0; h < triangles.length; h++) edges.add(triangles[h] * count + triangles[following(h)])
  const next = new Map<number, number[]>()
  for (const edge of edges) {
    const from = Math.floor(edge / count)
    const to = edge % count
    if (!edges.has(to * count + from)) next.set(from, [...(next.get(from) ?? []), to])
  }
  const loops: number[][] = []
  for (const start of next.keys()) {
    const loop: number[] = []
    let at = start
    for (let to = next.get(at)?.pop(); to !== undefined; to = next.get(at)?.pop()) {
      loop.push(at)
      at = to
    }
    if (loop.length > 2) loops.push(loop)
  }
  return loops.sort((a, b) => b.length - a.length)
}

/** A mesh with its holes closed by fans round the middle of each, and the fans' triangles (the last ones of the mesh). */
export interface CappedMesh {
  readonly mesh: Mesh
  readonly firstCapTriangle: number
}

/** Closes the holes of a mesh: a fan from the middle of each to its edges, wound like the triangles beside it. */
export function capHoles(mesh: Mesh, holes: readonly HoleLoop[]): CappedMesh {
  const positions = Array.from(mesh.positions)
  const triangles = Array.from(mesh.triangles)
  for (const hole of holes) {
    const centre = positions.length / 3
    positions.push(...middleOfHole(mesh, hole))
    hole.forEach((from, n) => {
      triangles.push(hole[(n + 1) % hole.length], from, centre)
    })
  }
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
    firstCapTriangle: mesh.triangles.length / 3,
  }
}

/** Mean of the points of a hole. */
export function middleOfHole(mesh: Mesh, hole: HoleLoop): Vec3 {
  const sum: [number, number, number] = [0, 0, 0]
  for (const i of hole)
    vertex(mesh, i).forEach((v, k) => {
      sum[k] += v / hole.length
    })
  return sum
}

/** The direction that a hole faces, as long as the area of a plane patch over it: out of the mesh. */
export function facingOfHole(mesh: Mesh, hole: HoleLoop): Vec3 {
  const [cx, cy, cz] = middleOfHole(mesh, hole)
  const sum: [number, number, number] = [0, 0, 0]
  hole.forEach((from, n) => {
    const [ax, ay, az] = vertex(mesh, from)
    const [bx, by, bz] = vertex(mesh, hole[(n + 1) % hole.length])
    const a = [ax - cx, ay - cy, az - cz]
    const b = [bx - cx, by - cy, bz - cz]
    // The cap runs against the sense of the hole's own triangles.
    sum[0] -= (a[1] * b[2] - a[2] * b[1]) / 2
    sum[1] -= (a[2] * b[0] - a[0] * b[2]) / 2
    sum[2] -= (a[0] * b[1] - a[1] * b[0]) / 2
  })
  return sum
}

const following = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1)
