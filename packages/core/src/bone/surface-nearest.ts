import type { FixtureFrame, FixtureProfile, SurfaceGrid } from '../fixture/index.js'
import { RANGE_MM } from './march.js'
import { ABOVE_MM } from './rays.js'
import { type ProbedSurface, ProbeField } from './surface-probe-field.js'
import { ENDS, SurfaceRay } from './surface-ray.js'
import { SurfaceSide } from './surface-side.js'

/**
 * Shortest signed distance from a fixture's side to the outside of bone, mm; NaN without one.
 * @param leastRadialMm the least bone along its rays, NaN without one: the distance is never more.
 */
export type LeastDistance = (frame: FixtureFrame, leastRadialMm: number) => number

/** Between nodes a field of distances may say more than there is, mm: own measurement. */
const SLACK_MM = 0.05
/** Half the way over which the field's slope is taken, in units of the grid. */
const SLOPE = 0.5
/** So far beyond an end it shows what ended bone, in units of the grid. */
const BEYOND = 0.5

/**
 * Measures the nearest distance of one shape at pose after pose on a site's field, with the meaning of leastNearest: the
 * surface is that beside the fixture and round its apex. Above, it ends with the highest of the rows from 2 mm above the
 * platform in which the axis is still in bone: the top of the crest over a level platform is no margin. A place of the
 * side whose nearest point lies higher counts with what is nearest in that row, or along its own ray. Where the fixture is
 * exposed it is the farthest that a place of its side lies outside of bone, negative. What was not scanned is no surface.
 */
export function leastSurfaceDistance(
  surface: ProbedSurface,
  profile: FixtureProfile,
  grid: SurfaceGrid,
): LeastDistance {
  const side = new FieldSide(new SurfaceSide(new ProbeField(surface), profile, grid))
  return (frame, leastRadialMm) => side.least(frame, leastRadialMm)
}

class FieldSide {
  readonly #side: SurfaceSide
  readonly #ray: SurfaceRay
  /** The least that the field may say on a patch, mm. */
  readonly #patchMm: Float64Array
  /** Whether the axis is in bone, by row. */
  readonly #inBone: Uint8Array
  #topMm = Number.NaN
  /** Where the rays of the top row end, xyz in units of the grid; NaN where they do not. */
  readonly #top: Float64Array
  #hasTop = false

  constructor(side: SurfaceSide) {
    this.#side = side
    this.#ray = new SurfaceRay(side.field)
    this.#top = new Float64Array(3 * side.columns)
    this.#inBone = new Uint8Array(side.depthsMm.length)
    this.#patchMm = new Float64Array(side.patches.length)
  }

  least(frame: FixtureFrame, leastRadialMm: number): number {
    this.#side.stand(frame)
    this.#findTop()
    const outMm = this.#farthestOut()
    if (outMm > 0) return -outMm
    const leastMm = this.#nearestIn(leastRadialMm)
    return leastMm < Number.POSITIVE_INFINITY ? leastMm : Number.NaN
  }

  #findTop(): void {
    const side = this.#side
    const depths = side.depthsMm
    this.#hasTop = false
    this.#topMm = Number.POSITIVE_INFINITY
    for (let row = depths.length - 1; row >= 0; row--) {
      this.#inBone[row] = side.at(depths[row], 0, 0) > 0 ? 1 : 0
      if (this.#inBone[row] === 1) this.#topMm = depths[row]
    }
    for (const mm of ABOVE_MM) {
      const depthMm = depths[0] - mm
      if (depthMm < this.#topMm && side.at(depthMm, 0, 0) > 0) this.#topMm = depthMm
    }
  }

  /** How far the farthest place of the side outside of bone lies from it, mm; 0 when none does. */
  #farthestOut(): number {
    let farthest = 0
    for (let n = 0; n < this.#side.patches.length; n++) {
      const { fromRow, toRow, fromColumn, toColumn, reachMm } = this.#side.patches[n]
      const row = (fromRow + toRow) >> 1
      const v = this.#side.at(this.#side.depthsMm[row], (fromColumn + toColumn) >> 1, this.#side.radiiMm[row])
      this.#patchMm[n] = v - reachMm - SLACK_MM
      if (this.#patchMm[n] > -farthest) continue
      for (let r = fromRow; r <= toRow; r++)
        for (let c = fromColumn; c <= toColumn; c++) {
          const out = -this.#side.at(this.#side.depthsMm[r], c, this.#side.radiiMm[r])
          if (out > farthest && !this.#side.isUnscanned(r, c)) farthest = out
        }
    }
    return farthest
  }

  #nearestIn(leastRadialMm: number): number {
    let best = Number.isNaN(leastRadialMm) ? Number.POSITIVE_INFINITY : leastRadialMm
    for (let n = 0; n < this.#side.patches.length; n++) {
      if (this.#patchMm[n] >= best) continue
      const { fromRow, toRow, fromColumn, toColumn } = this.#side.patches[n]
      for (let r = fromRow; r <= toRow; r++) {
        if (this.#inBone[r] === 0) continue
        for (let c = fromColumn; c <= toColumn; c++) best = this.#distance(r, c, best)
      }
    }
    return best
  }

  /** The distance of a cell, mm, or `best` when it is not less. */
  #distance(row: number, column: number, best: number): number {
    const depthMm = this.#side.depthsMm[row]
    const radiusMm = this.#side.radiiMm[row]
    const v = this.#side.at(depthMm, column, radiusMm)
    if (!(v < best)) return best
    const a = this.#side.axis
    const d = this.#side.directions
    const n = 3 * column
    const i = a[0] + depthMm * a[3] + radiusMm * d[n]
    const j = a[1] + depthMm * a[4] + radiusMm * d[n + 1]
    const k = a[2] + depthMm * a[5] + radiusMm * d[n + 2]
    const field = this.#side.field
    const gi = field.at(i + SLOPE, j, k) - field.at(i - SLOPE, j, k)
    const gj = field.at(i, j + SLOPE, k) - field.at(i, j - SLOPE, k)
    const gk = field.at(i, j, k + SLOPE) - field.at(i, j, k - SLOPE)
    const slope = Math.sqrt(gi * gi + gj * gj + gk * gk)
    const stepMm = field.stepMm
    const foot = slope > 0 ? -v / slope : 0
    const footMm = depthMm + foot * stepMm * (gi * a[3] + gj * a[4] + gk * a[5])
    // A little beyond the nearest place, so as to stand among nodes that are not bone.
    const far = foot / stepMm - BEYOND / slope
    if (field.endsInNoData(i + far * gi, j + far * gj, k + far * gk)) return best
    if (!(footMm < this.#topMm)) return v
    const top = this.#topDistance(i, j, k, best)
    const along = this.#ray.follow(
      a[0] + depthMm * a[3],
      a[1] + depthMm * a[4],
      a[2] + depthMm * a[5],
      d[n],
      d[n + 1],
      d[n + 2],
      radiusMm + top,
    )
    return along === ENDS ? Math.min(top, this.#ray.foundMm - radiusMm) : top
  }

  /** The distance from a place to the polyline of ends in the top row, mm, or `best` when it is not less. */
  #topDistance(i: number, j: number, k: number, best: number): number {
    if (!this.#hasTop) this.#followTop()
    const top = this.#top
    const columns = this.#side.columns
    const stepMm = this.#side.field.stepMm
    let squared = (best / stepMm) ** 2
    for (let c = 0; c < columns; c++) {
      const p = 3 * c
      const q = c + 1 < columns ? p + 3 : 0
      const x = i - top[p]
      const y = j - top[p + 1]
      const z = k - top[p + 2]
      const ux = top[q] - top[p]
      const uy = top[q + 1] - top[p + 1]
      const uz = top[q + 2] - top[p + 2]
      const length = ux * ux + uy * uy + uz * uz
      // Beside a ray without an end there is a point only.
      const share = length > 0 ? Math.max(0, Math.min(1, (x * ux + y * uy + z * uz) / length)) : 0
      const d = (x - share * ux) ** 2 + (y - share * uy) ** 2 + (z - share * uz) ** 2
      const alone = Number.isNaN(d) ? x * x + y * y + z * z : d
      if (alone < squared) squared = alone
    }
    return Math.min(best, Math.sqrt(squared) * stepMm)
  }

  #followTop(): void {
    const a = this.#side.axis
    const d = this.#side.directions
    const depthMm = this.#topMm
    this.#hasTop = true
    for (let c = 0; c < this.#side.columns; c++) {
      const n = 3 * c
      const i = a[0] + depthMm * a[3]
      const j = a[1] + depthMm * a[4]
      const k = a[2] + depthMm * a[5]
      const ends = this.#ray.follow(i, j, k, d[n], d[n + 1], d[n + 2], RANGE_MM) === ENDS
      const mm = ends ? this.#ray.foundMm : Number.NaN
      this.#top[n] = i + mm * d[n]
      this.#top[n + 1] = j + mm * d[n + 1]
      this.#top[n + 2] = k + mm * d[n + 2]
    }
  }
}
