import type { Mesh, Polyline, Vec3 } from '../space/index.js'
import { sliceMesh } from '../space/index.js'

/** The coronal outline of the section of a crown across the mesiodistal direction: heights on a row of places. */
export interface HeightProfile {
  /** Place of the section, and of the first column, mm. */
  readonly y: number
  readonly fromX: number
  readonly stepMm: number
  /** Most coronal z at each column; NaN where the section has nothing. */
  readonly z: Float64Array
}

/** x of a column. */
export const columnX = (profile: HeightProfile, column: number): number =>
  profile.fromX + column * profile.stepMm

/** The surface point at a column. */
export const columnPoint = (profile: HeightProfile, column: number): Vec3 => [
  columnX(profile, column),
  profile.y,
  profile.z[column],
]

/** Columns of a profile: 0.1 mm of a usual crown each. */
const COLUMNS = 96

/**
 * Profiles of a crown in its frame at so many places between two, both included; places where there is nothing are
 * left out. All have the same columns, over the whole width of the crown.
 */
export function heightProfiles(mesh: Mesh, fromY: number, toY: number, count: number): HeightProfile[] {
  const [low, high] = extent(mesh, 0)
  const stepMm = (high - low) / (COLUMNS - 1)
  return Array.from({ length: count }, (_, i) => fromY + ((toY - fromY) * i) / Math.max(1, count - 1))
    .map((y) => {
      const lines = sliceMesh(mesh, [0, y, 0], [0, 1, 0])
      return { y, fromX: low, stepMm, z: coronalOutline(lines, low, stepMm) }
    })
    .filter((profile) => profile.z.some((z) => !Number.isNaN(z)))
}

/** Least and greatest coordinate of a mesh on an axis. */
export function extent(mesh: Mesh, axis: 0 | 1 | 2): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = axis; i < mesh.positions.length; i += 3) {
    low = Math.min(low, mesh.positions[i])
    high = Math.max(high, mesh.positions[i])
  }
  return [low, high]
}

function coronalOutline(lines: readonly Polyline[], fromX: number, stepMm: number): Float64Array {
  const z = new Float64Array(COLUMNS).fill(Number.NaN)
  if (!(stepMm > 0)) return z
  for (const { points, closed } of lines)
    points.forEach((a, n) => {
      if (!closed && n + 1 === points.length) return
      const b = points[(n + 1) % points.length]
      const [p, q] = a[0] <= b[0] ? [a, b] : [b, a]
      const first = Math.max(0, Math.ceil((p[0] - fromX) / stepMm))
      const last = Math.min(COLUMNS - 1, Math.floor((q[0] - fromX) / stepMm))
      for (let c = first; c <= last; c++) {
        const span = q[0] - p[0]
        const at =
          span > 0 ? p[2] + ((fromX + c * stepMm - p[0]) / span) * (q[2] - p[2]) : Math.min(p[2], q[2])
        if (!(z[c] <= at)) z[c] = at
      }
    })
  return z
}
