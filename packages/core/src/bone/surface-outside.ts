import type { FartherBone, OutsideRay } from './farther-bone.js'
import { fieldCrossing, LEAST_STEP_MM } from './field-crossing.js'
import { RANGE_MM } from './march.js'
import { rayToMasks } from './masks.js'
import { NODE_UNSCANNED } from './site-surface-result.js'
import { type ProbedSurface, ProbeField } from './surface-probe-field.js'
import { type UnscannedBound, unscannedBound } from './surface-probe-open.js'

/** Beyond an end no look is taken for so long, mm: a narrower gap is none that a scan shows (own choice). */
export const CLEAR_OF_SURFACE_MM = 0.2
const INSIDE_MM = 1e-6
const OPEN_STEP_MM = 0.15

/** Follows rays through the outside of a site's field. `stand` on a ray first; then all places are mm along it. */
export class FieldOutside {
  readonly #field: ProbeField
  readonly #unscanned: UnscannedBound | null
  #i = 0
  #j = 0
  #k = 0
  #di = 0
  #dj = 0
  #dk = 0

  constructor(field: ProbeField) {
    this.#field = field
    this.#unscanned = unscannedBound(field.surface)
  }

  /** The start, in units of the grid, and the way of a millimetre. */
  stand(i: number, j: number, k: number, di: number, dj: number, dk: number): void {
    this.#i = i
    this.#j = j
    this.#k = k
    this.#di = di
    this.#dj = dj
    this.#dk = dk
  }

  #at(mm: number): number {
    return this.#field.at(this.#i + mm * this.#di, this.#j + mm * this.#dj, this.#k + mm * this.#dk)
  }

  /** Where bone begins; infinite when it does not before `toMm` or the grid's end. */
  entryMm(fromMm: number, toMm: number): number {
    if (this.#isOutside(fromMm, toMm)) return Number.POSITIVE_INFINITY
    let mm = fromMm
    let v = this.#at(mm)
    while (mm < toMm && v <= 0) {
      const beforeMm = mm
      const before = v
      mm = Math.min(toMm, mm + Math.max(-v, LEAST_STEP_MM))
      v = this.#at(mm)
      if (v > 0) return this.#crossing(mm, v, beforeMm, before)
    }
    return v > 0 ? mm : Number.POSITIVE_INFINITY
  }

  /** Looked at from the far end backwards: the edge that a ray left is left behind by larger steps than at its start. */
  #isOutside(fromMm: number, toMm: number): boolean {
    let mm = toMm
    while (mm > fromMm) {
      const v = this.#at(mm)
      if (!(v <= 0)) return false
      mm -= Math.max(-v, LEAST_STEP_MM)
    }
    return true
  }

  /** Where bone that begins at a place ends again; infinite beyond range or the grid. */
  exitMm(entryMm: number): number {
    let mm = entryMm + INSIDE_MM
    let v = this.#at(mm)
    if (v <= 0) return entryMm
    while (mm < RANGE_MM && v > 0) {
      const beforeMm = mm
      const before = v
      mm = Math.min(RANGE_MM, mm + Math.max(v, LEAST_STEP_MM))
      v = this.#at(mm)
      if (v <= 0) return this.#crossing(beforeMm, before, mm, v)
    }
    return Number.POSITIVE_INFINITY
  }

  /** Where what was not scanned begins; infinite when it does not before `toMm`. */
  openMm(fromMm: number, toMm: number): number {
    if (this.#unscanned === null || this.#unscanned(this.#i, this.#j, this.#k) > toMm)
      return Number.POSITIVE_INFINITY
    const { kinds, shape } = this.#field.surface
    for (let mm = fromMm; mm <= toMm; mm += OPEN_STEP_MM) {
      const a = Math.round(this.#i + mm * this.#di)
      const b = Math.round(this.#j + mm * this.#dj)
      const c = Math.round(this.#k + mm * this.#dk)
      const inGrid = a >= 0 && b >= 0 && c >= 0 && a < shape[0] && b < shape[1] && c < shape[2]
      if (!inGrid || kinds[a + shape[0] * (b + shape[1] * c)] === NODE_UNSCANNED) return mm
    }
    return Number.POSITIVE_INFINITY
  }

  #crossing(inMm: number, atIn: number, outMm: number, atOut: number): number {
    const field = this.#field
    return fieldCrossing(
      field,
      this.#i,
      this.#j,
      this.#k,
      this.#di,
      this.#dj,
      this.#dk,
      inMm,
      atIn,
      outMm,
      atOut,
    )
  }
}

/** As fartherBone, on a site's surface: rays that left bone at its surface have the same edges farther out. */
export function fartherOnSurface(
  surface: ProbedSurface,
  rays: readonly OutsideRay[],
  toMm: number,
): FartherBone[] {
  const field = new ProbeField(surface)
  const outside = new FieldOutside(field)
  const { masks } = surface.model
  const toMasks = masks.length > 0 ? rayToMasks(masks) : null
  return rays.map(({ start, direction, fromMm }) => {
    const [i, j, k] = field.place(start)
    const [di, dj, dk] = direction.map((v) => v / field.stepMm)
    outside.stand(i, j, k, di, dj, dk)
    const entryMm = outside.entryMm(fromMm, toMm)
    return {
      entryMm,
      exitMm: Number.isFinite(entryMm) ? outside.exitMm(entryMm) : Number.POSITIVE_INFINITY,
      openMm: outside.openMm(fromMm, Math.min(toMm, entryMm)),
      maskMm: toMasks?.(start, direction, toMm) ?? Number.POSITIVE_INFINITY,
    }
  })
}
