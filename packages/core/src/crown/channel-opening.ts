import type { Mesh, Vec3 } from '../space/index.js'
import type { Axis } from '../space/mesh-tree-axis.js'
import { type DiscPart, discPart, distanceToTriangle } from './channel-disc.js'
import type { ChannelRun, WallLine } from './channel-run.js'
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
  const sum: SurfaceSum = { area: 0, moments: new Float64Array(3) }
  const patch = openingPatch(surface, run, (t) => {
    addSurface(sum, surface.crown.mesh, t, run.radiusMm)
  })
  const { area, moments } = sum
  if (!(area > 0)) return null
  return {
    areaMm2: area,
    centroid: [moments[0] / area, moments[1] / area, moments[2] / area],
    closed: run.lines.flatMap((line) => (line && patch.has(line.triangle) ? [line] : [])),
  }
}

/** The share of a channel's wall lines that leave through its opening; null when it has none. */
export function closedShare(surface: ChannelSurface, run: ChannelRun): number | null {
  const patch = openingPatch(surface, run)
  if (patch.size === 0) return null
  return run.lines.filter((line) => line && patch.has(line.triangle)).length / run.lines.length
}

/** The triangles of a channel's opening; `whileSeen` is called with each while it is the one that is `seen`. */
function openingPatch(
  { crown, faces, neighbours }: ChannelSurface,
  { axis, radiusMm, middle }: ChannelRun,
  whileSeen?: (t: number) => void,
): Set<number> {
  const patch = new Set<number>()
  const met = new Set<number>([middle.triangle])
  const waiting = [middle.triangle]
  for (let t = waiting.pop(); t !== undefined; t = waiting.pop()) {
    if (faces[t] === 'base') continue
    seeAlong(axis, crown.mesh, t)
    if (!(twiceSeen() > 0) || distanceToTriangle(seen) > radiusMm + TOUCH_MM) continue
    patch.add(t)
    whileSeen?.(t)
    for (let i = 3 * t; i < 3 * t + 3; i++) {
      const next = neighbours[i]
      if (next < 0 || met.has(next)) continue
      met.add(next)
      waiting.push(next)
    }
  }
  return patch
}

interface SurfaceSum {
  area: number
  readonly moments: Float64Array
}

/** A triangle as seen along the channel: u and v of its corners. */
const seen = new Float64Array(6)

function seeAlong({ origin, u, v }: Axis, { positions, triangles }: Mesh, t: number): void {
  for (let i = 0; i < 3; i++) {
    const at = 3 * triangles[3 * t + i]
    const x = positions[at] - origin[0]
    const y = positions[at + 1] - origin[1]
    const z = positions[at + 2] - origin[2]
    seen[2 * i] = x * u[0] + y * u[1] + z * u[2]
    seen[2 * i + 1] = x * v[0] + y * v[1] + z * v[2]
  }
}

/** Twice the area of the triangle seen: positive where its outside looks along the channel. */
const twiceSeen = (): number =>
  (seen[2] - seen[0]) * (seen[5] - seen[1]) - (seen[3] - seen[1]) * (seen[4] - seen[0])

const part: DiscPart = { area: 0, momentU: 0, momentV: 0 }

/** Adds what of the triangle seen lies in the channel, on its own plane. */
function addSurface(sum: SurfaceSum, { positions, triangles }: Mesh, t: number, radiusMm: number): void {
  const whole = twiceArea(positions, triangles, t) / 2
  if (isInside(radiusMm)) {
    add(sum, positions, triangles, t, whole, 1 / 3, 1 / 3)
    return
  }
  discPart(part, seen, radiusMm)
  if (!(part.area > 0)) return
  const twice = twiceSeen()
  // How much of each corner is in the middle of the part; held inside the triangle, which may be thin when seen.
  const x = part.momentU / part.area - seen[0]
  const y = part.momentV / part.area - seen[1]
  const b = clamp((x * (seen[5] - seen[1]) - y * (seen[4] - seen[0])) / twice, 1)
  const c = clamp(((seen[2] - seen[0]) * y - (seen[3] - seen[1]) * x) / twice, 1 - b)
  add(sum, positions, triangles, t, Math.min(1, (2 * part.area) / twice) * whole, b, c)
}

/** Whether all corners of the triangle seen lie in the channel. */
const isInside = (radiusMm: number): boolean =>
  Math.max(seen[0] ** 2 + seen[1] ** 2, seen[2] ** 2 + seen[3] ** 2, seen[4] ** 2 + seen[5] ** 2) <=
  radiusMm * radiusMm

/** Adds an area whose middle holds so much of the triangle's second and third corner. */
function add(
  sum: SurfaceSum,
  positions: Float64Array,
  triangles: Uint32Array,
  t: number,
  area: number,
  b: number,
  c: number,
): void {
  sum.area += area
  const [atA, atB, atC] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]]
  for (let k = 0; k < 3; k++)
    sum.moments[k] +=
      area * ((1 - b - c) * positions[atA + k] + b * positions[atB + k] + c * positions[atC + k])
}

const clamp = (value: number, most: number): number => Math.min(most, Math.max(0, value))

function twiceArea(p: Float64Array, triangles: Uint32Array, t: number): number {
  const a = 3 * triangles[3 * t]
  const b = 3 * triangles[3 * t + 1]
  const c = 3 * triangles[3 * t + 2]
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]]
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]]
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
  return Math.sqrt(x * x + y * y + z * z)
}
