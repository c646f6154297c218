import {
  DENTINE_RUN_MM,
  DENTINE_SHARE,
  ENAMEL_SHARE,
  HARD_RUN_MM,
  HARD_SHARE,
  HARD_STEP_MM,
  LEAP_MM,
} from './ray-flags.js'
import { CORTEX_HARDNESS } from './site-surface.js'
import type { ProbePose } from './surface-probe-pose.js'

const ENAMEL = ENAMEL_SHARE * CORTEX_HARDNESS
const DENTINE = DENTINE_SHARE * CORTEX_HARDNESS
const HARD = HARD_SHARE * CORTEX_HARDNESS
/** Half the way over which the field's slope is taken, in units of the grid. */
const SLOPE = 0.5
/** Nodes along the edge of a block. */
const BLOCK = 8

/** Marks of a tooth on rays, as surfaceFlags finds them on the whole map. */
export class ProbeTeeth {
  readonly #pose: ProbePose
  /** Greatest hardness in each block and those round it. */
  readonly #greatest: Uint8Array
  readonly #size: readonly number[]

  constructor(pose: ProbePose) {
    this.#pose = pose
    const { shape, hardness } = pose.field.surface
    this.#size = shape.map((n) => Math.ceil(n / BLOCK))
    this.#greatest = greatestAround(hardness, shape, this.#size)
  }

  /** Whether a ray runs through what is harder than a plate of bone. */
  isHard(row: number, place: number, toMm: number): boolean {
    const { starts, directions, field } = this.#pose
    const { shape, hardness } = field.surface
    const [nx, ny, nz] = shape
    const i = starts[3 * row]
    const j = starts[3 * row + 1]
    const k = starts[3 * row + 2]
    const di = directions[6 * place]
    const dj = directions[6 * place + 1]
    const dk = directions[6 * place + 2]
    const dull = this.#isDull(i, j, k, di, dj, dk, toMm)
    if (dull && toMm <= HARD_RUN_MM) return false
    let run = 0
    let dense = 0
    for (let mm = 0; mm < toMm; mm += HARD_STEP_MM) {
      const a = Math.floor(i + mm * di + 0.5)
      const b = Math.floor(j + mm * dj + 0.5)
      const c = Math.floor(k + mm * dk + 0.5)
      if (!(a >= 0 && b >= 0 && c >= 0 && a < nx && b < ny && c < nz)) return false
      const hard = hardness[a + nx * (b + ny * c)]
      if (hard > ENAMEL) return true
      run = hard > HARD ? run + HARD_STEP_MM : 0
      dense = hard > DENTINE ? dense + HARD_STEP_MM : 0
      if (run > HARD_RUN_MM || dense > DENTINE_RUN_MM) return true
      // What is left cannot hold such a run any more.
      if (dull && run + toMm - mm <= HARD_RUN_MM) return false
    }
    return false
  }

  /**
   * Whether bone ends much farther out on a ray than on one beside it, and than that one's tangent plane would have it.
   * @param endMm of the ray, from the axis; `otherMm` of the one at the other place.
   */
  leaps(row: number, place: number, endMm: number, otherPlace: number, otherMm: number): boolean {
    if (!(endMm - otherMm > LEAP_MM)) return false
    const { starts, directions, field } = this.#pose
    const [d, o] = [6 * place, 6 * otherPlace]
    const i = starts[3 * row] + otherMm * directions[o]
    const j = starts[3 * row + 1] + otherMm * directions[o + 1]
    const k = starts[3 * row + 2] + otherMm * directions[o + 2]
    const x = field.at(i - SLOPE, j, k) - field.at(i + SLOPE, j, k)
    const y = field.at(i, j - SLOPE, k) - field.at(i, j + SLOPE, k)
    const z = field.at(i, j, k - SLOPE) - field.at(i, j, k + SLOPE)
    const towards = directions[d] * x + directions[d + 1] * y + directions[d + 2] * z
    const along = directions[o] * x + directions[o + 1] * y + directions[o + 2] * z
    return towards > 0 && endMm - (otherMm * along) / towards > LEAP_MM
  }

  /** Whether nothing near the ray is as hard as dentine: a block and its neighbours reach at least a block's edge. */
  #isDull(i: number, j: number, k: number, di: number, dj: number, dk: number, toMm: number): boolean {
    const [sx, sy, sz] = this.#size
    const blocksMm = BLOCK * this.#pose.field.stepMm
    for (let mm = Math.min(blocksMm, toMm / 2); ; mm += 2 * blocksMm) {
      const a = Math.floor((i + mm * di) / BLOCK)
      const b = Math.floor((j + mm * dj) / BLOCK)
      const c = Math.floor((k + mm * dk) / BLOCK)
      if (!(a >= 0 && b >= 0 && c >= 0 && a < sx && b < sy && c < sz)) return false
      if (this.#greatest[a + sx * (b + sy * c)] > DENTINE) return false
      if (mm + blocksMm >= toMm) return true
    }
  }
}

function greatestAround(
  hardness: Uint8Array,
  [nx, ny, nz]: readonly number[],
  [sx, sy, sz]: readonly number[],
): Uint8Array {
  const own = new Uint8Array(sx * sy * sz)
  for (let k = 0, n = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        const block = Math.floor(i / BLOCK) + sx * (Math.floor(j / BLOCK) + sy * Math.floor(k / BLOCK))
        if (hardness[n] > own[block]) own[block] = hardness[n]
      }
  const around = new Uint8Array(own.length)
  for (let c = 0, n = 0; c < sz; c++)
    for (let b = 0; b < sy; b++)
      for (let a = 0; a < sx; a++, n++)
        for (let w = Math.max(0, c - 1); w <= Math.min(sz - 1, c + 1); w++)
          for (let v = Math.max(0, b - 1); v <= Math.min(sy - 1, b + 1); v++)
            for (let u = Math.max(0, a - 1); u <= Math.min(sx - 1, a + 1); u++)
              around[n] = Math.max(around[n], own[u + sx * (v + sy * w)])
  return around
}
