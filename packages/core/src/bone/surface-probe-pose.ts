import type { FixtureFrame } from '../fixture/index.js'
import type { ProbeField } from './surface-probe-field.js'
import type { ProbeLayout } from './surface-probe-layout.js'

/** A fixture's rays in a site's field, all in grid units; the same object stands at one pose after another. */
export class ProbePose {
  readonly field: ProbeField
  readonly layout: ProbeLayout
  /** Where each row starts, on the axis. */
  readonly starts: Float64Array
  /** Direction at each half place, for a millimetre. */
  readonly directions: Float64Array
  /** The platform, and the axis for a millimetre. */
  readonly #axis = new Float64Array(6)

  constructor(field: ProbeField, layout: ProbeLayout) {
    this.field = field
    this.layout = layout
    this.starts = new Float64Array(3 * layout.rows)
    this.directions = new Float64Array(6 * layout.columns)
  }

  stand(frame: FixtureFrame): void {
    const { rows, columns, depthsMm, cosines, sines } = this.layout
    const { starts, directions } = this
    const perMm = 1 / this.field.stepMm
    const place = this.field.place(frame.origin)
    for (let axis = 0; axis < 3; axis++) {
      const x = frame.x[axis] * perMm
      const y = frame.y[axis] * perMm
      const z = frame.z[axis] * perMm
      this.#axis[axis] = place[axis]
      this.#axis[3 + axis] = z
      for (let row = 0; row < rows; row++) starts[3 * row + axis] = place[axis] + depthsMm[row] * z
      for (let half = 0; half < 2 * columns; half++)
        directions[3 * half + axis] = cosines[half] * x + sines[half] * y
    }
  }

  /** The field beside the axis: at a depth, a half place and a distance from the axis, mm. */
  at(depthMm: number, half: number, mm: number): number {
    const a = this.#axis
    const d = this.directions
    const n = 3 * half
    return this.field.at(
      a[0] + depthMm * a[3] + mm * d[n],
      a[1] + depthMm * a[4] + mm * d[n + 1],
      a[2] + depthMm * a[5] + mm * d[n + 2],
    )
  }

  /** The field on a ray, so far from the axis, mm. */
  onRay(row: number, place: number, mm: number): number {
    const s = this.starts
    const d = this.directions
    return this.field.at(
      s[3 * row] + mm * d[6 * place],
      s[3 * row + 1] + mm * d[6 * place + 1],
      s[3 * row + 2] + mm * d[6 * place + 2],
    )
  }
}
