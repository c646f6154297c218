import type { ProbeField } from './surface-probe-field.js'
import type { ProbePose } from './surface-probe-pose.js'

/** What a ray of a probe found; `RAY_CLEAR`: bone at least as far as was asked. */
export const RAY_CLEAR = 0
export const RAY_ENDS = 1
export const RAY_AXIS_OUTSIDE = 2
export const RAY_NO_SURFACE = 3
export const RAY_NO_DATA = 4

/** A ray never advances by less, mm: nothing thinner is seen. */
const LEAST_STEP_MM = 0.02
/** Ends are found to so much, mm. */
const END_MM = 1e-8

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
        this.foundMm = this.#crossing(row, place, beforeMm, before, mm, v)
        return RAY_ENDS
      }
    }
    this.foundMm = mm
    return Number.isNaN(v) ? RAY_NO_SURFACE : RAY_CLEAR
  }

  /**
   * Whether a ray is outside of bone from one place to another, looked at from the far one backwards: an end is left
   * behind by larger steps than a start. Not so where it leaves the grid.
   */
  isOutside(row: number, place: number, fromMm: number, toMm: number): boolean {
    let mm = toMm
    while (mm > fromMm) {
      const v = this.#pose.onRay(row, place, mm)
      if (!(v <= 0)) return false
      mm -= Math.max(-v, LEAST_STEP_MM)
    }
    return true
  }

  /** Where a ray outside of bone enters it again: RAY_ENDS with `foundMm`; RAY_CLEAR when it does not before `toMm` or the grid's end. */
  entry(row: number, place: number, fromMm: number, toMm: number): number {
    const pose = this.#pose
    let mm = fromMm
    let v = pose.onRay(row, place, mm)
    while (mm < toMm && v <= 0) {
      const beforeMm = mm
      const before = v
      mm = Math.min(toMm, mm + Math.max(-v, LEAST_STEP_MM))
      v = pose.onRay(row, place, mm)
      if (v > 0) {
        this.foundMm = this.#crossing(row, place, mm, v, beforeMm, before)
        return RAY_ENDS
      }
    }
    this.foundMm = mm
    return v > 0 ? RAY_ENDS : RAY_CLEAR
  }

  /** False position that halves the weight of an end that stays (the Illinois method; Dowell and Jarratt 1971, BIT 11:168). */
  #crossing(row: number, place: number, inMm: number, atIn: number, outMm: number, atOut: number): number {
    const { starts, directions } = this.#pose
    const field = this.#field
    const i = starts[3 * row]
    const j = starts[3 * row + 1]
    const k = starts[3 * row + 2]
    const di = directions[6 * place]
    const dj = directions[6 * place + 1]
    const dk = directions[6 * place + 2]
    let stayed = 0
    while (Math.abs(outMm - inMm) > END_MM) {
      const mm = outMm - (atOut * (outMm - inMm)) / (atOut - atIn)
      const v = field.at(i + mm * di, j + mm * dj, k + mm * dk)
      if (Math.abs(v) < END_MM) return mm
      if (v > 0) {
        inMm = mm
        atIn = v
        if (stayed === 1) atOut /= 2
        stayed = 1
      } else {
        outMm = mm
        atOut = v
        if (stayed === -1) atIn /= 2
        stayed = -1
      }
    }
    return outMm
  }
}
