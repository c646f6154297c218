import type { Mesh, Polyline, Vec3 } from '../space/index.js'
import { corners, cross, dot, length, sliceMesh, subtract } from '../space/index.js'
import { leastPath } from './crest-path.js'

/** Directions round the long axis in which the margin is looked for: a multiple of two, as each cut serves two. */
const DIRECTIONS = 72
/**
 * A section is read from a point inside the crown, in columns from this close to straight apically up to well above
 * level, degrees.
 */
const FIRST_DEG = 12
const LAST_DEG = 114
const STEP_DEG = 2
/** Over this share of the crown's height on either side the turn of a section is judged: 0.6 mm of a usual crown. */
const WINDOW = 0.08
/** What a turn of one degree is worth, and what a step of one column between two directions costs (its square). */
const PER_TURN_DEG = 1 / 30
const BEND = 0.02
/**
 * The margin lies at least so far out as a share of the section's greatest width on that side: within it a base that is
 * a saddle bends by itself. Necks of teeth are 0.7 to 0.95 as wide as their crowns (Nelson and Ash's table). Own choice.
 */
const LEAST_OUT = 0.5
/** The point inside lies so far up from the base towards the edge. */
const INSIDE = 0.4

/**
 * The cervical margin of a closed crown whose +z runs apically: the closed line round the long axis along which the
 * wall turns into the base, sharpest and with the least bends, from +x towards +y. In the mesh's coordinates, without
 * its first point repeated. Empty where a mesh has nothing round its middle.
 */
export function cervicalMargin(mesh: Mesh): Vec3[] {
  const [cx, cy] = middleOfBase(mesh)
  const [coronal, apical] = heights(mesh)
  const inside: Vec3 = [cx, cy, apical + INSIDE * (coronal - apical)]
  const half = DIRECTIONS / 2
  const window = WINDOW * (apical - coronal)
  const rows: (readonly (Vec3 | null)[])[] = []
  const costs: Float64Array[] = []
  for (let n = 0; n < half; n++) {
    const angle = (2 * Math.PI * n) / DIRECTIONS
    const u: Vec3 = [Math.cos(angle), Math.sin(angle), 0]
    const lines = sliceMesh(mesh, inside, [-u[1], u[0], 0])
    const opposite: Vec3 = [-u[0], -u[1], 0]
    rows[n] = outerPoints(lines, inside, u)
    rows[n + half] = outerPoints(lines, inside, opposite)
    costs[n] = turnCosts(rows[n], inside, u, window)
    costs[n + half] = turnCosts(rows[n + half], inside, opposite, window)
  }
  // Twice round, so that the line closes on itself; the second half of the first round and the first of the second.
  const path = leastPath([...costs, ...costs], BEND)
  if (path === null) return []
  const column = (n: number): number => path[n < half ? n + DIRECTIONS : n]
  return rows.map((row, n) => row[column(n)]).filter((p) => p !== null)
}

/** The outermost point of a section in each direction from a point inside, on the side of `u`. */
function outerPoints(lines: readonly Polyline[], inside: Vec3, u: Vec3): (Vec3 | null)[] {
  const count = Math.round((LAST_DEG - FIRST_DEG) / STEP_DEG) + 1
  const found = new Array<Vec3 | null>(count).fill(null)
  const reach = new Float64Array(count).fill(Number.NEGATIVE_INFINITY)
  const bearing = (p: Vec3): number => {
    const d = subtract(p, inside)
    return (Math.atan2(dot(d, u), d[2]) * 180) / Math.PI
  }
  for (const { points, closed } of lines)
    points.forEach((a, n) => {
      if (!closed && n + 1 === points.length) return
      const b = points[(n + 1) % points.length]
      const from = bearing(a)
      const to = bearing(b)
      // A piece across the ray straight coronally runs the other way round.
      if (Math.abs(from - to) > 180) return
      const first = Math.max(0, Math.ceil((Math.min(from, to) - FIRST_DEG) / STEP_DEG))
      const last = Math.min(count - 1, Math.floor((Math.max(from, to) - FIRST_DEG) / STEP_DEG))
      for (let c = first; c <= last; c++) {
        const p = onPiece(a, b, inside, u, ((FIRST_DEG + c * STEP_DEG) * Math.PI) / 180)
        const far = length(subtract(p, inside))
        if (far > reach[c]) {
          reach[c] = far
          found[c] = p
        }
      }
    })
  return found
}

/** Where a piece of a section meets the ray at an angle from straight apically. */
function onPiece(a: Vec3, b: Vec3, inside: Vec3, u: Vec3, angle: number): Vec3 {
  const aside = (p: Vec3): number => {
    const d = subtract(p, inside)
    return dot(d, u) * Math.cos(angle) - d[2] * Math.sin(angle)
  }
  const [s, t] = [aside(a), aside(b)]
  const k = s === t ? 0 : Math.min(1, Math.max(0, s / (s - t)))
  return [a[0] + k * (b[0] - a[0]), a[1] + k * (b[1] - a[1]), a[2] + k * (b[2] - a[2])]
}

/** The less, the more sharply a section turns outward at a point: between the chords before and after it. */
function turnCosts(row: readonly (Vec3 | null)[], inside: Vec3, u: Vec3, window: number): Float64Array {
  const out = row.map((p) => (p ? dot(subtract(p, inside), u) : 0))
  const least = LEAST_OUT * Math.max(...out)
  const chordEnd = (at: number, way: 1 | -1): Vec3 | null => {
    const from = row[at]
    let end: Vec3 | null = null
    for (let c = at + way; c >= 0 && c < row.length; c += way) {
      const p = row[c]
      if (!p || !from) break
      end = p
      if (length(subtract(p, from)) >= window) break
    }
    return end
  }
  return Float64Array.from(row, (p, at) => {
    const before = chordEnd(at, -1)
    const after = chordEnd(at, 1)
    if (p === null || out[at] < least) return Number.POSITIVE_INFINITY
    if (before === null || after === null) return 0
    const [a, b] = [subtract(p, before), subtract(after, p)]
    const outward = a[2] * dot(b, u) - dot(a, u) * b[2]
    return (-PER_TURN_DEG * Math.atan2(outward, dot(a, b)) * 180) / Math.PI
  })
}

/** The middle of the margin at the level of its most apical point: the origin of the crown frame; null without a margin. */
export function cervicalCentre(margin: readonly Vec3[]): Vec3 | null {
  if (margin.length < 3) return null
  const middle = (axis: 0 | 1): number => {
    const values = margin.map((p) => p[axis])
    return (Math.min(...values) + Math.max(...values)) / 2
  }
  return [middle(0), middle(1), Math.max(...margin.map((p) => p[2]))]
}

/** Area centroid of what faces apically; of the whole surface where nothing does. */
function middleOfBase(mesh: Mesh): [number, number] {
  const middle = (apicalOnly: boolean): [number, number] | null => {
    let [area, x, y] = [0, 0, 0]
    for (let t = 0; t < mesh.triangles.length / 3; t++) {
      const [a, b, c] = corners(mesh, t)
      const across = cross(subtract(b, a), subtract(c, a))
      const size = length(across)
      if (!(size > 0) || (apicalOnly && across[2] < 0.5 * size)) continue
      area += size
      x += (size * (a[0] + b[0] + c[0])) / 3
      y += (size * (a[1] + b[1] + c[1])) / 3
    }
    return area > 0 ? [x / area, y / area] : null
  }
  return middle(true) ?? middle(false) ?? [0, 0]
}

/** Most coronal and most apical z. */
function heights(mesh: Mesh): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = 2; i < mesh.positions.length; i += 3) {
    low = Math.min(low, mesh.positions[i])
    high = Math.max(high, mesh.positions[i])
  }
  return [low, high]
}
