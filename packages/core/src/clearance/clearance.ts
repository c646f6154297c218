import { length, type Vec3 } from '../space/index.js'
import { type Body, surfacePoints } from './bodies.js'
import { distanceToRevolved, type Outline } from './revolved.js'

/** Where a solid of revolution stands: a point of its axis at depth 0, LPS mm, and the direction of rising depth. */
export interface Stand {
  readonly origin: Vec3
  readonly axis: Vec3
}

/** Shortest distance from a fixture to the bodies, mm, negative where one reaches into it; null when there are none. */
export type Clearance = (stand: Stand, outline: Outline) => number | null

/** Points that are looked at, or skipped, together. */
const CLUSTER = 32

interface Cluster {
  readonly centre: Vec3
  readonly reach: number
  readonly points: Float64Array
}

/**
 * The clearance of a fixture, a solid of revolution, from bodies: exact against points no farther than 0.2 mm apart on
 * their surfaces. A fixture that lies wholly inside of a body is not seen.
 */
export function clearance(bodies: readonly Body[]): Clearance {
  const clusters = clustered(bodies.flatMap(surfacePoints))
  if (clusters.length === 0) return () => null
  return ({ origin, axis }, outline) => {
    const size = length(axis)
    const [zx, zy, zz] = [axis[0] / size, axis[1] / size, axis[2] / size]
    const distanceOf = (x: number, y: number, z: number): number => {
      const [dx, dy, dz] = [x - origin[0], y - origin[1], z - origin[2]]
      const depth = dx * zx + dy * zy + dz * zz
      const square = dx * dx + dy * dy + dz * dz - depth * depth
      return distanceToRevolved(outline, depth, Math.sqrt(Math.max(0, square)))
    }
    let least = Number.POSITIVE_INFINITY
    for (const { centre, reach, points } of clusters) {
      if (distanceOf(centre[0], centre[1], centre[2]) - reach >= least) continue
      for (let n = 0; n < points.length; n += 3)
        least = Math.min(least, distanceOf(points[n], points[n + 1], points[n + 2]))
    }
    return least
  }
}

/** Points halved along their longest side until a few are left in each cluster. */
function clustered(points: readonly number[]): Cluster[] {
  const count = points.length / 3
  if (count === 0) return []
  const low: [number, number, number] = [Infinity, Infinity, Infinity]
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  for (let n = 0; n < points.length; n += 3)
    for (const a of [0, 1, 2] as const) {
      low[a] = Math.min(low[a], points[n + a])
      high[a] = Math.max(high[a], points[n + a])
    }
  const axis = ([0, 1, 2] as const).reduce((a, b) => (high[b] - low[b] > high[a] - low[a] ? b : a))
  if (count <= CLUSTER || high[axis] === low[axis]) {
    const centre: Vec3 = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2]
    let reach = 0
    for (let n = 0; n < points.length; n += 3)
      reach = Math.max(
        reach,
        Math.hypot(points[n] - centre[0], points[n + 1] - centre[1], points[n + 2] - centre[2]),
      )
    return [{ centre, reach, points: Float64Array.from(points) }]
  }
  const middle = (low[axis] + high[axis]) / 2
  const halves: [number[], number[]] = [[], []]
  for (let n = 0; n < points.length; n += 3)
    halves[points[n + axis] > middle ? 1 : 0].push(points[n], points[n + 1], points[n + 2])
  return halves.flatMap(clustered)
}
