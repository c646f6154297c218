import { type ProbedRays, RAY_AXIS_OUTSIDE, RAY_CLEAR, RAY_ENDS, RAY_NO_DATA } from '../bone/index.js'

/** Bone under and beyond a graft on the rays of a pose: see BoneRow. */
export class QuickGround {
  /** Bone's outside, mm from the axis; 0 where the fixture's side stands in no bone; infinite where it is of no concern. */
  readonly exitMm: Float64Array
  /** Where bone farther out begins; infinite where nothing does. */
  readonly ceilingMm: Float64Array
  /** 1 where a graft may be planned. */
  readonly free: Uint8Array
  /** 1 for a ray that is short of bone, or lies beside one that is. */
  readonly marks: Uint8Array
  readonly #rays: ProbedRays
  readonly #askedMm: Float64Array

  constructor(rays: ProbedRays, askedMm: Float64Array) {
    const count = rays.rows * rays.columns
    this.#rays = rays
    this.#askedMm = askedMm
    this.exitMm = new Float64Array(count)
    this.ceilingMm = new Float64Array(count)
    this.free = new Uint8Array(count)
    this.marks = new Uint8Array(count)
  }

  /** Of the pose that the rays were searched at; false when no bone is missing. */
  find(): boolean {
    const { rows, columns, states } = this.#rays
    this.exitMm.fill(Number.POSITIVE_INFINITY)
    this.ceilingMm.fill(Number.POSITIVE_INFINITY)
    this.free.fill(1)
    this.marks.fill(0)
    let some = false
    for (let row = 0; row < rows; row++)
      for (let column = 0; column < columns; column++)
        if (states[row * columns + column] !== RAY_CLEAR && this.#read(row, column)) {
          some = true
          this.#markAround(row, column)
        }
    if (!some) return false
    for (let n = 0; n < this.marks.length; n++)
      if (this.marks[n] === 1 && states[n] === RAY_CLEAR)
        this.exitMm[n] = this.#rays.complete(Math.floor(n / columns), n % columns)
    return true
  }

  /** What a ray that ends near says; true when bone is missing there and may be grafted. */
  #read(row: number, column: number): boolean {
    const rays = this.#rays
    const n = row * rays.columns + column
    const state = rays.states[n]
    const reachMm = rays.radiiMm[row] + this.#askedMm[column]
    if (state === RAY_NO_DATA) {
      this.exitMm[n] = rays.endMm[n]
      if (rays.endMm[n] < reachMm) this.free[n] = 0
      return false
    }
    if (state === RAY_ENDS) this.exitMm[n] = rays.endMm[n]
    else if (state === RAY_AXIS_OUTSIDE) this.exitMm[n] = 0
    if (!(this.exitMm[n] < reachMm)) return false
    if (state === RAY_ENDS && rays.isTooth(row, column)) {
      this.free[n] = 0
      return false
    }
    return this.#lookBeyond(row, column, reachMm)
  }

  /** What lies beyond bone's outside, as far as a graft would reach. */
  #lookBeyond(row: number, column: number, reachMm: number): boolean {
    const rays = this.#rays
    const n = row * rays.columns + column
    const radiusMm = rays.radiiMm[row]
    const beyond = rays.beyond(row, column, this.exitMm[n], reachMm)
    if (beyond.openMm < reachMm || beyond.maskMm <= Math.max(this.exitMm[n], radiusMm)) {
      this.free[n] = 0
      return false
    }
    const bare = this.exitMm[n] === 0
    if (bare && beyond.entryMm <= radiusMm) this.exitMm[n] = beyond.exitMm > radiusMm ? beyond.exitMm : 0
    else if (beyond.entryMm < beyond.maskMm) this.ceilingMm[n] = Math.max(radiusMm, beyond.entryMm)
    else this.ceilingMm[n] = beyond.maskMm
    return this.exitMm[n] < reachMm
  }

  #markAround(row: number, column: number): void {
    const { rows, columns } = this.#rays
    const { marks } = this
    const before = column === 0 ? columns - 1 : column - 1
    const after = column === columns - 1 ? 0 : column + 1
    const last = Math.min(rows - 1, row + 1)
    for (let r = Math.max(0, row - 1); r <= last; r++) {
      const first = r * columns
      marks[first + before] = 1
      marks[first + column] = 1
      marks[first + after] = 1
    }
  }
}
