import { discDistance } from './site-surface-distance.js'
import type { SiteGrid } from './site-surface-grid.js'
import { eachNeighbour } from './site-surface-kinds.js'
import { nearestPoints } from './site-surface-nearest.js'
import { BY_KINDS, SurfacePoints } from './site-surface-points.js'
import { NODE_BONE, NODE_UNSCANNED } from './site-surface-result.js'

const SLICES = 16

/**
 * Lets bone end where nothing was scanned, half way between nodes: distances in bone become those to the nearer end, and
 * what was not scanned lies outside. Distances are changed in place.
 */
export function* endAtGaps(kinds: Uint8Array, distanceMm: Float32Array, grid: SiteGrid): Generator<void> {
  if (!kinds.includes(NODE_UNSCANNED)) return
  const points = gapPoints(kinds, grid)
  if (points.count === 0) return
  yield
  const nearest = yield* nearestPoints(points, grid)
  const [nx, ny, nz] = grid.shape
  for (let k = 0, n = 0; k < nz; k++) {
    if (k % SLICES === SLICES - 1) yield
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        if (kinds[n] !== NODE_BONE && kinds[n] !== NODE_UNSCANNED) continue
        const mm = grid.stepMm * Math.abs(discDistance(points, nearest[n], i, j, k))
        if (mm < Math.abs(distanceMm[n])) distanceMm[n] = kinds[n] === NODE_BONE ? mm : -mm
      }
  }
}

/** Half way between nodes of bone and those that were not scanned. */
function gapPoints(kinds: Uint8Array, grid: SiteGrid): SurfacePoints {
  const [nx, ny] = grid.shape
  const points = new SurfacePoints()
  for (let n = 0; n < kinds.length; n++) {
    if (kinds[n] !== NODE_UNSCANNED) continue
    eachNeighbour(n, grid, (m, axis, side) => {
      if (kinds[m] !== NODE_BONE) return
      const way = [0, 0, 0]
      way[axis] = side
      const [x, y, z] = way
      const [i, j, k] = [n % nx, Math.floor(n / nx) % ny, Math.floor(n / (nx * ny))]
      // The normal points out of bone, back to the node that was not scanned.
      points.add(n, BY_KINDS, i + 0.5 * x, j + 0.5 * y, k + 0.5 * z, -x, -y, -z, 1)
    })
  }
  return points
}
