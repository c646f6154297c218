import { fieldCrossing, LEAST_STEP_MM } from './field-crossing.js'
import type { ProbeField } from './surface-probe-field.js'
import type { ProbePose } from './surface-probe-pose.js'

/** What a ray of a probe found; `RAY_CLEAR`: bone at least as far as was asked. */
export const RAY_CLEAR = 0
export const RAY_ENDS = 1
export const RAY_AXIS_OUTSIDE = 2
export const RAY_NO_SURFACE = 3
export const RAY_NO_DATA = 4

/** Follows single rays; `foundMm` says where the last one came to. */
export class ProbeTrace {
  foundMm = Number.NaN
  readonly #pose: ProbePose
  readonly #field: ProbeField

  constructor(pose: ProbePose) {
    this.#pose = pose
    this.#field = pose.field
  }

  /**
   * Where a ray leaves bone: RAY_ENDS with `foundMm`; RAY_CLEAR when it is in bone up to `toMm`; RAY_NO_SURFACE when it leaves the grid.
   * @param fromMm so far from the axis the ray is known to be in bone.
   */
  end(row: number, place: number, fromMm: number, toMm: number): number {
    const { starts, directions } = this.#pose
    const field = this.#field
    const i = starts[3 * row]
    const j = starts[3 * row + 1]
    const k = starts[3 * row + 2]
    const di = directions[6 * place]
    const dj = directions[6 * place + 1]
    const dk = directions[6 * place + 2]
    let mm = fromMm
    let v = field.at(i + mm * di, j + mm * dj, k + mm * dk)
    if (!(v > 0) && fromMm > 0) {
      mm = 0
      v = field.at(i, j, k)
    }
    while (mm < toMm) {
      if (Number.isNaN(v)) {
        this.foundMm = mm
        return RAY_NO_SURFACE
      }
      const beforeMm = mm
      const before = v
      mm = Math.min(toMm, mm + Math.max(v, LEAST_STEP_MM))
      v = field.at(i + mm * di, j + mm * dj, k + mm * dk)
      if (v <= 0) {
        this.foundMm = fieldCrossing(field, i, j, k, di, dj, dk, beforeMm, before, mm, v)
        return RAY_ENDS
      }
    }
    this.foundMm = mm
    return Number.isNaN(v) ? RAY_NO_SURFACE : RAY_CLEAR
  }
}
