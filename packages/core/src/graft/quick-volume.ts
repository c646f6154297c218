import type { ProbedRays } from '../bone/index.js'
import { FAR_MM } from './bone-under.js'
import type { DeficitGraft } from './graft-spec.js'
import { positiveMean } from './positive-cell.js'
import { QuickGround } from './quick-ground.js'
import { wantedMm } from './wanted.js'

/**
 * The volume of a graft that brings bone to the wanted thickness over the whole fixture, mm3, of one pose after another:
 * what `graftSize` says of `graftField`, without the field. Nodes as there: every ray, and one half way to the next.
 */
export class QuickVolume {
  /** Bone that is asked for beyond the fixture's side by column, mm: how far a probe must look for its end. */
  readonly askedMm: Float64Array
  readonly #ground: QuickGround
  readonly #rays: ProbedRays
  /** Wanted at every node of a row. */
  readonly #wantedMm: Float64Array
  /** Twice the cosine of half the angle between two rays: for what is flat between them. */
  readonly #twoCosines: number
  /** Half the difference of the squares at the nodes of two rows. */
  #above: Float64Array
  #below: Float64Array

  /** @throws RangeError when more is asked than the bone that is missing: a contour, a loss, or from another depth on. */
  constructor(rays: ProbedRays, spec: DeficitGraft) {
    if (spec.natural || spec.overbuilt || spec.loss.kind !== 'share' || spec.loss.share !== 0)
      throw new RangeError('the quick volume is that of the missing bone alone')
    if (Math.abs(spec.fromDepthMm - rays.depthsMm[0]) > 1e-9)
      throw new RangeError(
        `the quick volume begins with the rays, at ${rays.depthsMm[0]} mm; got ${spec.fromDepthMm}`,
      )
    const { columns, anglesDeg } = rays
    const halfStepDeg = 180 / columns
    this.#rays = rays
    this.askedMm = Float64Array.from(anglesDeg, (angle) => wantedMm(spec, angle))
    this.#wantedMm = Float64Array.from({ length: 2 * columns }, (_, n) =>
      wantedMm(spec, anglesDeg[n >> 1] + (n % 2) * halfStepDeg),
    )
    this.#twoCosines = 2 * Math.cos(Math.PI / columns)
    this.#ground = new QuickGround(rays, this.askedMm)
    this.#above = new Float64Array(2 * columns)
    this.#below = new Float64Array(2 * columns)
  }

  /** Of the pose that the rays were searched at, with `askedMm`. */
  volumeMm3(): number {
    const { rows, columns, depthsMm } = this.#rays
    if (!this.#ground.find()) return 0
    const turn = Math.PI / columns
    let sum = 0
    let hasAbove = this.#fill(0, this.#above)
    for (let row = 1; row < rows; row++) {
      const hasBelow = this.#fill(row, this.#below)
      if (hasAbove || hasBelow) sum += turn * (depthsMm[row] - depthsMm[row - 1]) * this.#between()
      const above = this.#above
      this.#above = this.#below
      this.#below = above
      hasAbove = hasBelow
    }
    return sum
  }

  #between(): number {
    const above = this.#above
    const below = this.#below
    const last = above.length - 1
    let a = above[last]
    let d = below[last]
    let sum = 0
    for (let n = 0; n <= last; n++) {
      const b = above[n]
      const e = below[n]
      if (a > 0 || b > 0 || e > 0 || d > 0) sum += positiveMean(a, b, e, d)
      a = b
      d = e
    }
    return sum
  }

  /** A row's nodes; false when nothing is missing there. */
  #fill(row: number, nodes: Float64Array): boolean {
    const { columns, radiiMm } = this.#rays
    const { exitMm, ceilingMm, free, marks } = this.#ground
    const radiusMm = radiiMm[row]
    const first = row * columns
    const cosine = this.#twoCosines
    let some = false
    for (let column = 0; column < columns; column++) {
      const n = first + column
      const next = column + 1 < columns ? n + 1 : first
      if (marks[n] === 0 && marks[next] === 0) {
        nodes[2 * column] = -1
        nodes[2 * column + 1] = -1
        continue
      }
      const bounded = ceilingMm[n] < FAR_MM && ceilingMm[next] < FAR_MM
      const a = Math.min(FAR_MM, exitMm[n])
      const b = Math.min(FAR_MM, exitMm[next])
      nodes[2 * column] =
        free[n] === 1 ? missing(radiusMm, this.#wantedMm[2 * column], a, ceilingMm[n]) : Number.NaN
      // Between two rays bone is flat, and what is told of the ray is told of the next one, as in boneUnder.
      const exit = a === 0 || b === 0 ? b : Math.min(FAR_MM, cosine / (1 / a + 1 / b))
      const ceiling = bounded ? cosine / (1 / ceilingMm[n] + 1 / ceilingMm[next]) : ceilingMm[next]
      nodes[2 * column + 1] =
        free[next] === 1 ? missing(radiusMm, this.#wantedMm[2 * column + 1], exit, ceiling) : Number.NaN
      some ||= nodes[2 * column] > 0 || nodes[2 * column + 1] > 0
    }
    return some
  }
}

/** Per radian and millimetre of depth; negative where bone already reaches farther. */
function missing(radiusMm: number, wanted: number, exitMm: number, ceilingMm: number): number {
  const baseMm = Math.max(exitMm, radiusMm)
  const mm = Math.min(radiusMm + wanted, ceilingMm) - baseMm
  return mm * (baseMm + mm / 2)
}
