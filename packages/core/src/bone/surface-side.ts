import { type FixtureFrame, type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'
import type { ProbeField } from './surface-probe-field.js'

/** Cells of the side that are looked at together: so many rows and columns. */
const PATCH = 4

/** Some rows and columns of a fixture's side, ends included. */
export interface SidePatch {
  readonly fromRow: number
  readonly toRow: number
  readonly fromColumn: number
  readonly toColumn: number
  /** No cell lies farther from the middle one, mm. */
  readonly reachMm: number
}

/** The side of a fixture in a site's field, at one pose after another, without making objects. */
export class SurfaceSide {
  readonly field: ProbeField
  readonly columns: number
  readonly depthsMm: Float64Array
  readonly radiiMm: Float64Array
  readonly patches: readonly SidePatch[]
  /** Platform, and the axis for a millimetre, in units of the grid. */
  readonly axis = new Float64Array(6)
  /** Direction of each column for a millimetre, in units of the grid. */
  readonly directions: Float64Array
  readonly #cosines: Float64Array
  readonly #sines: Float64Array

  constructor(field: ProbeField, profile: FixtureProfile, { depthsMm, anglesDeg }: SurfaceGrid) {
    this.field = field
    this.columns = anglesDeg.length
    this.depthsMm = Float64Array.from(depthsMm)
    this.radiiMm = Float64Array.from(depthsMm, (depthMm) => radiusAtMm(profile, depthMm))
    this.directions = new Float64Array(3 * anglesDeg.length)
    this.#cosines = Float64Array.from(anglesDeg, (deg) => Math.cos((deg * Math.PI) / 180))
    this.#sines = Float64Array.from(anglesDeg, (deg) => Math.sin((deg * Math.PI) / 180))
    this.patches = this.#patched()
  }

  stand({ origin, x, y, z }: FixtureFrame): void {
    const perMm = 1 / this.field.stepMm
    const place = this.field.place(origin)
    for (let axis = 0; axis < 3; axis++) {
      this.axis[axis] = place[axis]
      this.axis[3 + axis] = z[axis] * perMm
      for (let c = 0; c < this.columns; c++)
        this.directions[3 * c + axis] = (this.#cosines[c] * x[axis] + this.#sines[c] * y[axis]) * perMm
    }
  }

  /** The field at a depth, beside the axis in the direction of a column, mm. */
  at(depthMm: number, column: number, mm: number): number {
    const a = this.axis
    const d = this.directions
    const n = 3 * column
    return this.field.at(
      a[0] + depthMm * a[3] + mm * d[n],
      a[1] + depthMm * a[4] + mm * d[n + 1],
      a[2] + depthMm * a[5] + mm * d[n + 2],
    )
  }

  /** Whether a cell that lies outside of bone does so where nothing was scanned. */
  isUnscanned(row: number, column: number): boolean {
    const a = this.axis
    const d = this.directions
    const n = 3 * column
    const depthMm = this.depthsMm[row]
    const mm = this.radiiMm[row]
    return this.field.endsInNoData(
      a[0] + depthMm * a[3] + mm * d[n],
      a[1] + depthMm * a[4] + mm * d[n + 1],
      a[2] + depthMm * a[5] + mm * d[n + 2],
    )
  }

  #patched(): SidePatch[] {
    const rows = this.depthsMm.length
    const patches: SidePatch[] = []
    for (let fromRow = 0; fromRow < rows; fromRow += PATCH)
      for (let fromColumn = 0; fromColumn < this.columns; fromColumn += PATCH) {
        const toRow = Math.min(rows, fromRow + PATCH) - 1
        const toColumn = Math.min(this.columns, fromColumn + PATCH) - 1
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
    const radiusMm = this.radiiMm[row]
    return [radiusMm * this.#cosines[column], radiusMm * this.#sines[column], this.depthsMm[row]]
  }
}
