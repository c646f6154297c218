import { axisPoint, type FixtureFrame, radialDirection, type SurfaceGrid } from '../fixture/index.js'
import { along, scale, type Vec3, type WorldPoint } from '../space/index.js'

/**
 * Rays that leave the axis, row by row: some above the platform, those of the map, and a dome round the apex that closes
 * on the axis. The map shows its own rows; all together they catch the surface that is nearest to the fixture.
 */
export interface RayFan {
  readonly rows: number
  readonly columns: number
  /** The first row of the map and the number of its rows. */
  readonly mapFrom: number
  readonly mapRows: number
  /** How far below the platform a row's rays start, mm. */
  readonly depthsMm: readonly number[]
  /** Where a row's rays start, on the axis. */
  readonly starts: readonly WorldPoint[]
  /** Unit directions, row by row. */
  readonly directions: readonly Vec3[]
}

export const ABOVE_MM: readonly number[] = [2, 1.5, 1, 0.5]
const DOME_DEG: readonly number[] = [18, 36, 54, 72, 90]

export function rayFan(frame: FixtureFrame, { depthsMm, anglesDeg }: SurfaceGrid): RayFan {
  const first = depthsMm[0] ?? 0
  const last = depthsMm[depthsMm.length - 1] ?? 0
  const rows = [
    ...ABOVE_MM.map((mm) => ({ depthMm: first - mm, riseDeg: 0 })),
    ...depthsMm.map((depthMm) => ({ depthMm, riseDeg: 0 })),
    ...DOME_DEG.map((riseDeg) => ({ depthMm: last, riseDeg })),
  ]
  const radial = anglesDeg.map((angle) => radialDirection(frame, angle))
  return {
    rows: rows.length,
    columns: anglesDeg.length,
    mapFrom: ABOVE_MM.length,
    mapRows: depthsMm.length,
    depthsMm: rows.map(({ depthMm }) => depthMm),
    starts: rows.map(({ depthMm }) => axisPoint(frame, depthMm)),
    directions: rows.flatMap(({ riseDeg }) => radial.map((direction) => raised(direction, frame.z, riseDeg))),
  }
}

/** A direction turned from the radial one towards the apex. */
function raised(radial: Vec3, apical: Vec3, riseDeg: number): Vec3 {
  if (riseDeg === 0) return radial
  const rise = (riseDeg * Math.PI) / 180
  return along(scale(radial, Math.cos(rise)), apical, Math.sin(rise))
}

/** Rays perpendicular to the axis at some depths, without a dome and nothing above. */
export function rowsFan(frame: FixtureFrame, { depthsMm, anglesDeg }: SurfaceGrid): RayFan {
  const radial = anglesDeg.map((angle) => radialDirection(frame, angle))
  return {
    rows: depthsMm.length,
    columns: anglesDeg.length,
    mapFrom: 0,
    mapRows: depthsMm.length,
    depthsMm,
    starts: depthsMm.map((depthMm) => axisPoint(frame, depthMm)),
    directions: depthsMm.flatMap(() => radial),
  }
}

/** The ray on the axis beyond the apex. */
export const apexRay = ({ rows, columns }: RayFan): number => (rows - 1) * columns
