import { type FixtureShape, fixtureProfile, type Mesh } from '@alveometer/core'

const STEPS_ROUND = 64

/**
 * A fixture's body in its own frame (origin at the platform, +z apical): its profile turned about the axis, closed by
 * flat ends, winding outward. `crisp` keeps the rings of neighbouring faces apart, so shading shows each edge.
 */
export function fixtureBody(shape: FixtureShape, crisp: boolean): Mesh {
  const { points, lengthMm } = fixtureProfile(shape)
  const outline: (readonly [number, number])[] = [[0, 0], ...points, [lengthMm, 0]]
  const positions: number[] = []
  const triangles: number[] = []
  const ring = ([depth, radius]: readonly [number, number]): number => {
    const first = positions.length / 3
    for (let n = 0; n < STEPS_ROUND; n++) {
      const angle = (2 * Math.PI * n) / STEPS_ROUND
      positions.push(radius * Math.cos(angle), radius * Math.sin(angle), depth)
    }
    return first
  }
  let upper = ring(outline[0] as readonly [number, number])
  for (const [n, point] of outline.entries()) {
    if (n === 0) continue
    if (crisp && n > 1) upper = ring(outline[n - 1] as readonly [number, number])
    const lower = ring(point)
    for (let s = 0; s < STEPS_ROUND; s++) {
      const next = (s + 1) % STEPS_ROUND
      triangles.push(upper + s, lower + next, lower + s, upper + s, upper + next, lower + next)
    }
    upper = lower
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

/** Unit normals at the vertices, faces weighted by their area; zero where a vertex has no face. */
export function vertexNormals({ positions: p, triangles }: Mesh): Float32Array {
  const normals = new Float64Array(p.length)
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((n) => 3 * (triangles[t + n] as number)) as [number, number, number]
    const edge = (from: number, to: number, x: number) => (p[to + x] as number) - (p[from + x] as number)
    for (let x = 0; x < 3; x++) {
      const y = (x + 1) % 3
      const z = (x + 2) % 3
      const n = edge(a, b, y) * edge(a, c, z) - edge(a, b, z) * edge(a, c, y)
      for (const v of [a, b, c]) normals[v + x] = (normals[v + x] as number) + n
    }
  }
  const out = new Float32Array(p.length)
  for (let v = 0; v < p.length; v += 3) {
    const size = Math.hypot(normals[v] as number, normals[v + 1] as number, normals[v + 2] as number)
    if (size > 0) for (let x = 0; x < 3; x++) out[v + x] = (normals[v + x] as number) / size
  }
  return out
}

/** A mesh moved outward along its normals: seen from behind it leaves a thin outline round the body. */
export function inflated(mesh: Mesh, normals: Float32Array, byMm: number): Mesh {
  return { ...mesh, positions: mesh.positions.map((x, n) => x + byMm * (normals[n] as number)) }
}

/** The eight corners of the box round a mesh; none for an empty mesh. */
export function boxCorners(mesh: Mesh): [number, number, number][] {
  if (mesh.positions.length === 0) return []
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  const high = low.map((x) => -x)
  for (let n = 0; n < mesh.positions.length; n++) {
    const x = mesh.positions[n] as number
    low[n % 3] = Math.min(low[n % 3] as number, x)
    high[n % 3] = Math.max(high[n % 3] as number, x)
  }
  return Array.from({ length: 8 }, (_, c) =>
    [0, 1, 2].map((axis) => ((c >> axis) & 1 ? high : low)[axis] as number),
  ) as [number, number, number][]
}
