import type { SiteGrid } from './site-surface-grid.js'
import type { SurfacePoints } from './site-surface-points.js'

/** Slices between two pauses. */
const SLICES = 4

/**
 * The point nearest to each node, by its number; -1 everywhere when there are none. Each point is told to the nodes
 * round it; the numbers then travel from node to node, forwards and back through the grid (vector distances after
 * Danielsson 1980, CGIP 14:227, on all 26 neighbours): what they miss of the nearest is far below the points' spacing.
 */
export function* nearestPoints(points: SurfacePoints, grid: SiteGrid): Generator<void, Int32Array> {
  const [nx, ny, nz] = grid.shape
  const nearest = new Int32Array(nx * ny * nz).fill(-1)
  if (points.count === 0) return nearest
  const squared = new Float32Array(nearest.length).fill(Number.POSITIVE_INFINITY)
  seed(points, grid, nearest, squared)
  yield
  const offer = offers(points, grid, nearest, squared)
  for (let k = 0; k < nz; k++) {
    if (k % SLICES === SLICES - 1) yield
    offer(k, 1)
  }
  for (let k = nz - 1; k >= 0; k--) {
    if (k % SLICES === 0) yield
    offer(k, -1)
  }
  return nearest
}

function seed(
  { xyz, count }: SurfacePoints,
  { shape: [nx, ny, nz] }: SiteGrid,
  nearest: Int32Array,
  squared: Float32Array,
): void {
  for (let p = 0; p < count; p++) {
    const [x, y, z] = [xyz[3 * p], xyz[3 * p + 1], xyz[3 * p + 2]]
    for (let corner = 0; corner < 8; corner++) {
      const i = Math.max(0, Math.min(nx - 1, Math.floor(x) + (corner & 1)))
      const j = Math.max(0, Math.min(ny - 1, Math.floor(y) + ((corner >> 1) & 1)))
      const k = Math.max(0, Math.min(nz - 1, Math.floor(z) + (corner >> 2)))
      const n = i + nx * (j + ny * k)
      const d = Math.fround((i - x) ** 2 + (j - y) ** 2 + (k - z) ** 2)
      if (d >= squared[n]) continue
      squared[n] = d
      nearest[n] = p
    }
  }
}

/** Goes through a slice forwards (side 1) or back, each node taking the best of the 13 neighbours that come before it. */
function offers(
  { xyz, count }: SurfacePoints,
  { shape: [nx, ny, nz] }: SiteGrid,
  nearest: Int32Array,
  squared: Float32Array,
): (k: number, side: 1 | -1) => void {
  const places = Float32Array.from(xyz.subarray(0, 3 * count))
  const take = (n: number, i: number, j: number, k: number, befores: Int32Array): void => {
    let best = squared[n]
    let point = nearest[n]
    for (let t = 0; t < befores.length; t++) {
      const p = nearest[n + befores[t]]
      if (p === point || p < 0) continue
      const x = places[3 * p] - i
      const y = places[3 * p + 1] - j
      const z = places[3 * p + 2] - k
      const d = x * x + y * y + z * z
      if (d >= best) continue
      best = d
      point = p
    }
    squared[n] = best
    nearest[n] = point
  }
  return (k, side) => {
    for (let row = 0; row < ny; row++) {
      const j = side === 1 ? row : ny - 1 - row
      const start = nx * (j + ny * k)
      const before = (fromI: number, toI: number) =>
        Int32Array.from(neighboursBefore([nx, ny, nz], j, k, side, fromI, toI))
      const [low, middle, high] = [before(0, 1), before(-1, 1), before(-1, 0)]
      const back = Int32Array.of(side)
      for (let column = 0; column < nx; column++) {
        const i = side === 1 ? column : nx - 1 - column
        take(start + i, i, j, k, i === 0 ? low : i === nx - 1 ? high : middle)
      }
      for (let column = 1; column < nx; column++) {
        const i = side === 1 ? nx - 1 - column : column
        take(start + i, i, j, k, back)
      }
    }
  }
}

/** Numbers of the neighbours that a sweep has passed, less that of the node: those from fromI to toI along the row. */
function neighboursBefore(
  [nx, ny, nz]: readonly number[],
  j: number,
  k: number,
  side: 1 | -1,
  fromI: number,
  toI: number,
): number[] {
  const numbers: number[] = []
  if (side === 1 ? fromI < 0 : toI > 0) numbers.push(-side)
  for (const [b, c] of [
    [-1, 0],
    [-1, -1],
    [0, -1],
    [1, -1],
  ]) {
    const row = j + b * side
    const slice = k + c * side
    if (row < 0 || row >= ny || slice < 0 || slice >= nz) continue
    for (let a = fromI; a <= toI; a++) numbers.push(a + side * nx * (b + ny * c))
  }
  return numbers
}
