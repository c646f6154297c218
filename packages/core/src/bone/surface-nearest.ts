import { type FixtureFrame, type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'
import { RANGE_MM } from './march.js'
import { ABOVE_MM } from './rays.js'
import { type ProbedSurface, ProbeField } from './surface-probe-field.js'
import { ENDS, SurfaceRay } from './surface-ray.js'

/**
 * Shortest signed distance from a fixture's side to the outside of bone, mm; NaN without one.
 * @param leastRadialMm the least bone along its rays, NaN without one: the distance is never more.
 */
export type LeastDistance = (frame: FixtureFrame, leastRadialMm: number) => number

/** Cells of the side that are passed over together: so many rows and columns. */
const PATCH = 4
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
  const side = new FieldSide(new ProbeField(surface), profile, grid)
  return (frame, leastRadialMm) => side.least(frame, leastRadialMm)
}

interface Patch {
  readonly fromRow: number
  readonly toRow: number
  readonly fromColumn: number
  readonly toColumn: number
  /** No cell lies farther from the middle one, mm. */
  readonly reachMm: number
}

class FieldSide {
  readonly #field: ProbeField
  readonly #ray: SurfaceRay
  readonly #depthsMm: Float64Array
  readonly #radiiMm: Float64Array
  readonly #cosines: Float64Array
  readonly #sines: Float64Array
  readonly #patches: readonly Patch[]
  readonly #patchMm: Float64Array
  /** Platform and axis, then the directions of the columns, in units of the grid, per mm. */
  readonly #axis = new Float64Array(6)
  readonly #directions: Float64Array
  /** Whether the axis is in bone, by row. */
  readonly #inBone: Uint8Array
  #topMm = Number.NaN
  /** Where the rays of the top row end, xyz in units of the grid; NaN where they do not. */
  readonly #top: Float64Array
  #hasTop = false

  constructor(field: ProbeField, profile: FixtureProfile, { depthsMm, anglesDeg }: SurfaceGrid) {
    this.#field = field
    this.#ray = new SurfaceRay(field)
    this.#depthsMm = Float64Array.from(depthsMm)
    this.#radiiMm = Float64Array.from(depthsMm, (depthMm) => radiusAtMm(profile, depthMm))
    this.#cosines = Float64Array.from(anglesDeg, (deg) => Math.cos((deg * Math.PI) / 180))
    this.#sines = Float64Array.from(anglesDeg, (deg) => Math.sin((deg * Math.PI) / 180))
    this.#directions = new Float64Array(3 * anglesDeg.length)
    this.#top = new Float64Array(3 * anglesDeg.length)
    this.#inBone = new Uint8Array(depthsMm.length)
    this.#patches = this.#patched()
    this.#patchMm = new Float64Array(this.#patches.length)
  }

  least(frame: FixtureFrame, leastRadialMm: number): number {
    this.#stand(frame)
    const outMm = this.#farthestOut()
    if (outMm > 0) return -outMm
    const leastMm = this.#nearestIn(leastRadialMm)
    return leastMm < Number.POSITIVE_INFINITY ? leastMm : Number.NaN
  }

  #stand({ origin, x, y, z }: FixtureFrame): void {
    const perMm = 1 / this.#field.stepMm
    const place = this.#field.place(origin)
    for (let axis = 0; axis < 3; axis++) {
      this.#axis[axis] = place[axis]
      this.#axis[3 + axis] = z[axis] * perMm
      for (let c = 0; c < this.#cosines.length; c++)
        this.#directions[3 * c + axis] = (this.#cosines[c] * x[axis] + this.#sines[c] * y[axis]) * perMm
    }
    this.#hasTop = false
    this.#topMm = Number.POSITIVE_INFINITY
    const depths = this.#depthsMm
    for (let row = depths.length - 1; row >= 0; row--) {
      this.#inBone[row] = this.#at(depths[row], 0, 0) > 0 ? 1 : 0
      if (this.#inBone[row] === 1) this.#topMm = depths[row]
    }
    for (let n = ABOVE_MM.length - 1; n >= 0; n--)
      if (this.#at(depths[0] - ABOVE_MM[n], 0, 0) > 0)
        this.#topMm = Math.min(this.#topMm, depths[0] - ABOVE_MM[n])
  }

  /** The field at a depth, beside the axis in the direction of a column, mm. */
  #at(depthMm: number, column: number, mm: number): number {
    const a = this.#axis
    const d = this.#directions
    const n = 3 * column
    return this.#field.at(
      a[0] + depthMm * a[3] + mm * d[n],
      a[1] + depthMm * a[4] + mm * d[n + 1],
      a[2] + depthMm * a[5] + mm * d[n + 2],
    )
  }

  /** How far the farthest place of the side outside of bone lies from it, mm; 0 when none does. */
  #farthestOut(): number {
    let farthest = 0
    for (let n = 0; n < this.#patches.length; n++) {
      const { fromRow, toRow, fromColumn, toColumn, reachMm } = this.#patches[n]
      const row = (fromRow + toRow) >> 1
      const v = this.#at(this.#depthsMm[row], (fromColumn + toColumn) >> 1, this.#radiiMm[row])
      this.#patchMm[n] = v - reachMm - SLACK_MM
      if (this.#patchMm[n] > -farthest) continue
      for (let r = fromRow; r <= toRow; r++)
        for (let c = fromColumn; c <= toColumn; c++) {
          const out = -this.#at(this.#depthsMm[r], c, this.#radiiMm[r])
          if (out > farthest && !this.#isUnscanned(r, c)) farthest = out
        }
    }
    return farthest
  }

  #nearestIn(leastRadialMm: number): number {
    let best = Number.isNaN(leastRadialMm) ? Number.POSITIVE_INFINITY : leastRadialMm
    for (let n = 0; n < this.#patches.length; n++) {
      if (this.#patchMm[n] >= best) continue
      const { fromRow, toRow, fromColumn, toColumn } = this.#patches[n]
      for (let r = fromRow; r <= toRow; r++) {
        if (this.#inBone[r] === 0) continue
        for (let c = fromColumn; c <= toColumn; c++) best = this.#distance(r, c, best)
      }
    }
    return best
  }

  /** The distance of a cell, mm, or `best` when it is not less. */
  #distance(row: number, column: number, best: number): number {
    const depthMm = this.#depthsMm[row]
    const radiusMm = this.#radiiMm[row]
    const v = this.#at(depthMm, column, radiusMm)
    if (!(v < best)) return best
    const a = this.#axis
    const d = this.#directions
    const n = 3 * column
    const i = a[0] + depthMm * a[3] + radiusMm * d[n]
    const j = a[1] + depthMm * a[4] + radiusMm * d[n + 1]
    const k = a[2] + depthMm * a[5] + radiusMm * d[n + 2]
    const field = this.#field
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
    const columns = this.#cosines.length
    const stepMm = this.#field.stepMm
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
    const a = this.#axis
    const d = this.#directions
    const depthMm = this.#topMm
    this.#hasTop = true
    for (let c = 0; c < this.#cosines.length; c++) {
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

  #isUnscanned(row: number, column: number): boolean {
    const a = this.#axis
    const d = this.#directions
    const n = 3 * column
    const depthMm = this.#depthsMm[row]
    const mm = this.#radiiMm[row]
    return this.#field.endsInNoData(
      a[0] + depthMm * a[3] + mm * d[n],
      a[1] + depthMm * a[4] + mm * d[n + 1],
      a[2] + depthMm * a[5] + mm * d[n + 2],
    )
  }

  #patched(): Patch[] {
    const rows = this.#depthsMm.length
    const columns = this.#cosines.length
    const patches: Patch[] = []
    for (let fromRow = 0; fromRow < rows; fromRow += PATCH)
      for (let fromColumn = 0; fromColumn < columns; fromColumn += PATCH) {
        const toRow = Math.min(rows, fromRow + PATCH) - 1
        const toColumn = Math.min(columns, fromColumn + PATCH) - 1
        const middle = this.#place((fromRow + toRow) >> 1, (fromColumn + toColumn) >> 1)
        let reachMm = 0
        for (let r = fromRow; r <= toRow; r++)
          for (let c = fromColumn; c <= toColumn; c++) {
            const [x, y, z] = this.#place(r, c)
            reachMm = Math.max(reachMm, Math.hypot(x - middle[0], y - middle[1], z - middle[2]))
          }
        patches.push({ fromRow, toRow, fromColumn, toColumn, reachMm })
      }
    return patches
  }

  /** A cell's place in the fixture's frame, mm. */
  #place(row: number, column: number): [number, number, number] {
    const radiusMm = this.#radiiMm[row]
    return [radiusMm * this.#cosines[column], radiusMm * this.#sines[column], this.#depthsMm[row]]
  }
}
