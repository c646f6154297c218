import { fieldCrossing, LEAST_STEP_MM } from './field-crossing.js'
import type { ProbeField } from './surface-probe-field.js'

/** What a ray through a site's field found. */
export const ENDS = 0
export const STARTS_OUTSIDE = 1
export const NO_SURFACE = 2
export const NO_DATA = 3

/**
 * Follows a ray through a site's field to where bone ends, or data does: as far at a time as the field says that there is
 * bone all round. `foundMm` says where the last ray came to. The same numbers as a surface probe has.
 */
export class SurfaceRay {
  foundMm = Number.NaN
  readonly #field: ProbeField

  constructor(field: ProbeField) {
    this.#field = field
  }

  /**
   * @param i, j, k the start, in units of the grid.
   * @param di, dj, dk the way of a millimetre, in units of the grid.
   * @returns ENDS; NO_DATA where what ends bone was not scanned, or the start lies outside the grid or in what was not
   * scanned; STARTS_OUTSIDE of bone; NO_SURFACE when bone reaches beyond the range or the grid.
   */
  follow(i: number, j: number, k: number, di: number, dj: number, dk: number, rangeMm: number): number {
    const field = this.#field
    let mm = 0
    let v = field.at(i, j, k)
    this.foundMm = 0
    if (Number.isNaN(v)) return NO_DATA
    if (v <= 0) return field.endsInNoData(i, j, k) ? NO_DATA : STARTS_OUTSIDE
    while (mm < rangeMm) {
      const beforeMm = mm
      const before = v
      mm = Math.min(rangeMm, mm + Math.max(v, LEAST_STEP_MM))
      v = field.at(i + mm * di, j + mm * dj, k + mm * dk)
      if (Number.isNaN(v)) break
      if (v > 0) continue
      const endMm = fieldCrossing(field, i, j, k, di, dj, dk, beforeMm, before, mm, v)
      this.foundMm = endMm
      return field.endsInNoData(i + endMm * di, j + endMm * dj, k + endMm * dk) ? NO_DATA : ENDS
    }
    this.foundMm = mm
    return NO_SURFACE
  }
}
