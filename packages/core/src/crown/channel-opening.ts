import type { Vec3 } from '../space/index.js'
import { corners, cross, length, subtract } from '../space/index.js'
import { type Axis, axisCoordinates } from '../space/mesh-tree-axis.js'
import { addDiscPart, type DiscPart, distanceToTriangle } from './channel-disc.js'
import { type ChannelRun, facing, type WallLine } from './channel-run.js'
import type { ChannelSurface } from './channel-surface.js'

/** What a channel cuts out of the crown's surface, in the crown frame. */
export interface Opening {
  readonly areaMm2: number
  readonly centroid: Vec3
  /** The wall lines that leave through this part of the surface; the others leave the channel open at a side. */
  readonly closed: readonly WallLine[]
}

/** Triangles that only touch the channel count as met by it, mm: above rounding. */
const TOUCH_MM = 1e-9

/**
 * The opening of a channel: the part of the crown's surface inside it that hangs together with the triangle its axis
 * leaves by and looks along the channel. Exact but for rounding: each triangle is cut by the circle as seen along the
 * channel. Null when the axis leaves by the base, or by a triangle seen edge-on.
 */
export function channelOpening(surface: ChannelSurface, run: ChannelRun): Opening | null {
  const { axis, radiusMm, middle, lines } = run
  const patch = new Set<number>()
  const met = new Set<number>([middle.triangle])
  const waiting = [middle.triangle]
  let areaMm2 = 0
  const moment = [0, 0, 0]
  for (let t = waiting.pop(); t !== undefined; t = waiting.pop()) {
    const across = facing(surface.crown.mesh, t, axis.direction) / 2
    if (!(across > 0) || surface.faces[t] === 'base') continue
    const points = corners(surface.crown.mesh, t)
    const seen = seenAlong(axis, points)
    if (distanceToTriangle(seen) > radiusMm + TOUCH_MM) continue
    patch.add(t)
    const part: DiscPart = { area: 0, momentU: 0, momentV: 0 }
    addDiscPart(part, seen, radiusMm)
    if (part.area > 0) {
      const area = Math.min(1, part.area / across) * areaOf(points)
      const shares = sharesAt(seen, part.momentU / part.area, part.momentV / part.area)
      areaMm2 += area
      for (let k = 0; k < 3; k++)
        moment[k] += area * (shares[0] * points[0][k] + shares[1] * points[1][k] + shares[2] * points[2][k])
    }
    for (let i = 3 * t; i < 3 * t + 3; i++) {
      const next = surface.neighbours[i]
      if (next < 0 || met.has(next)) continue
      met.add(next)
      waiting.push(next)
    }
  }
  if (!(areaMm2 > 0)) return null
  return {
    areaMm2,
    centroid: [moment[0] / areaMm2, moment[1] / areaMm2, moment[2] / areaMm2],
    closed: lines.flatMap((line) => (line && patch.has(line.triangle) ? [line] : [])),
  }
}

function seenAlong(axis: Axis, points: readonly Vec3[]): number[] {
  return points.flatMap((p) => axisCoordinates(axis, p).slice(0, 2))
}

function areaOf([a, b, c]: readonly Vec3[]): number {
  return length(cross(subtract(b, a), subtract(c, a))) / 2
}

/** How much of each corner is in a point of a triangle of the plane; held inside it, as steep triangles are thin there. */
function sharesAt([ax, ay, bx, by, cx, cy]: readonly number[], x: number, y: number): Vec3 {
  const twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
  const b = Math.min(1, Math.max(0, ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / twice))
  const c = Math.min(1 - b, Math.max(0, ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / twice))
  return [1 - b - c, b, c]
}
