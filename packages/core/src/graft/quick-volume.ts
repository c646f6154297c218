import type { ProbedRays } from '../bone/index.js'
import { type FixtureProfile, type SurfaceGrid, surfaceGrid } from '../fixture/index.js'
import { FAR_MM } from './bone-under.js'
import { FIELD_ANGLES } from './field-of.js'
import type { DeficitGraft } from './graft-spec.js'
import { positiveMean } from './positive-cell.js'
import { QuickGround } from './quick-ground.js'
import { wantedMm } from './wanted.js'

/**
 * Rays enough for a quick volume, 26 depths x 48 angles: over 3000 poses of the sample scan with 5 to 100 mm3 missing half
 * the volumes lay within 0.1 mm3 of those on all rays of a margin, 95 % within 0.23 (own measurement).
 */
export const quickGraftGrid = (profile: FixtureProfile): SurfaceGrid => surfaceGrid(profile, 26, 48)

/**
 * The volume of a graft that brings bone to the wanted thickness over the whole fixture, mm3, of one pose after another:
 * what `graftSize` says of `graftField`, without the field. Nodes as there, at most 2.5 degrees apart; between rays bone
 * is flat.
 */
export class QuickVolume {
  /** Bone that is asked for beyond the fixture's side by column, mm: how far a probe must look for its end. */
  readonly askedMm: Float64Array
  readonly #ground: QuickGround
  readonly #rays: ProbedRays
  /** Wanted at every node of a row. */
  readonly #wantedMm: Float64Array
  /** Nodes from one ray up to the next, and how much of 1 / r each has of the two. */
  readonly #parts: number
  readonly #ofRay: Float64Array
  readonly #ofNext: Float64Array
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
    const parts = Math.ceil(FIELD_ANGLES.length / columns)
    const step = (2 * Math.PI) / columns
    const shares = Array.from({ length: parts }, (_, part) => part / parts)
    this.#rays = rays
    this.#parts = parts
    this.#ofRay = Float64Array.from(shares, (share) => Math.sin((1 - share) * step) / Math.sin(step))
    this.#ofNext = Float64Array.from(shares, (share) => Math.sin(share * step) / Math.sin(step))
    this.askedMm = Float64Array.from(anglesDeg, (angle) => wantedMm(spec, angle))
    this.#wantedMm = Float64Array.from({ length: parts * columns }, (_, n) =>
      wantedMm(spec, anglesDeg[0] + (360 * n) / (parts * columns)),
    )
    this.#ground = new QuickGround(rays, this.askedMm)
    this.#above = new Float64Array(parts * columns)
    this.#below = new Float64Array(parts * columns)
  }

  /** Of the pose that the rays were measured or followed at, with `askedMm`. */
  volumeMm3(): number {
    const { rows, columns, depthsMm } = this.#rays
    if (!this.#ground.find()) return 0
    const turn = (2 * Math.PI) / (this.#parts * columns)
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
    const { marks } = this.#ground
    const parts = this.#parts
    const first = row * columns
    let some = false
    for (let column = 0; column < columns; column++) {
      const n = first + column
      const next = column + 1 < columns ? n + 1 : first
      if (marks[n] === 0 && marks[next] === 0)
        for (let node = column * parts; node < (column + 1) * parts; node++) nodes[node] = -1
      else if (this.#fillFrom(n, next, radiiMm[row], column * parts, nodes)) some = true
    }
    return some
  }

  /** The nodes from a ray up to the next. Bone is flat between the two, and the nearer one tells the rest, as in boneUnder. */
  #fillFrom(n: number, next: number, radiusMm: number, from: number, nodes: Float64Array): boolean {
    const { exitMm, ceilingMm, free } = this.#ground
    const a = Math.min(FAR_MM, exitMm[n])
    const b = Math.min(FAR_MM, exitMm[next])
    const bare = a === 0 || b === 0
    const bounded = ceilingMm[n] < FAR_MM && ceilingMm[next] < FAR_MM
    let some = false
    for (let part = 0; part < this.#parts; part++) {
      const v = this.#ofRay[part]
      const w = this.#ofNext[part]
      const near = 2 * part < this.#parts ? n : next
      const exit = bare ? Math.min(FAR_MM, exitMm[near]) : Math.min(FAR_MM, 1 / (v / a + w / b))
      const ceiling = bounded ? 1 / (v / ceilingMm[n] + w / ceilingMm[next]) : ceilingMm[near]
      const node = from + part
      nodes[node] = free[near] === 1 ? missing(radiusMm, this.#wantedMm[node], exit, ceiling) : Number.NaN
      if (nodes[node] > 0) some = true
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
