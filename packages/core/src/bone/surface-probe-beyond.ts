import type { FixtureFrame } from '../fixture/index.js'
import { along, type Vec3 } from '../space/index.js'
import { type BoneMask, rayToMasks } from './masks.js'
import { cylinderSolid } from './masks-cylinder.js'
import { NODE_UNSCANNED } from './site-surface-result.js'
import type { UnscannedBound } from './surface-probe-open.js'
import type { ProbePose } from './surface-probe-pose.js'
import { type ProbeTrace, RAY_ENDS } from './surface-probe-trace.js'

/** What lies beyond bone's outside on a ray, mm from the axis; infinite where nothing of that kind does. As FartherBone. */
export interface BeyondBone {
  entryMm: number
  /** Looked for only where bone farther out begins inside the fixture. */
  exitMm: number
  openMm: number
  maskMm: number
}

/** Beyond an end no look is taken for so long, mm: a narrower gap is none that a scan shows (own choice). */
const CLEAR_MM = 0.2
const INSIDE_MM = 1e-6
const OPEN_STEP_MM = 0.15
const RANGE_MM = 10

/** Follows rays through the outside. */
export class ProbeBeyond {
  readonly #pose: ProbePose
  readonly #trace: ProbeTrace
  readonly #unscanned: UnscannedBound | null
  readonly #masks: readonly BoxedMask[]
  readonly #found: BeyondBone = { entryMm: 0, exitMm: 0, openMm: 0, maskMm: 0 }

  constructor(
    pose: ProbePose,
    trace: ProbeTrace,
    unscanned: UnscannedBound | null,
    masks: readonly BoneMask[],
  ) {
    this.#pose = pose
    this.#trace = trace
    this.#unscanned = unscanned
    this.#masks = masks.map(boxed)
  }

  /** The answer is the same object every time. */
  look(frame: FixtureFrame, row: number, place: number, fromMm: number, toMm: number): BeyondBone {
    const found = this.#found
    const startMm = fromMm > 0 ? fromMm + CLEAR_MM : 0
    found.entryMm = Number.POSITIVE_INFINITY
    found.exitMm = Number.POSITIVE_INFINITY
    if (
      !this.#trace.isOutside(row, place, startMm, toMm) &&
      this.#trace.entry(row, place, startMm, toMm) === RAY_ENDS
    ) {
      found.entryMm = this.#trace.foundMm
      if (found.entryMm <= this.#pose.layout.radiiMm[row])
        found.exitMm = this.#exitMm(row, place, found.entryMm)
    }
    found.openMm = this.#openMm(row, place, startMm, Math.min(toMm, found.entryMm))
    found.maskMm = this.#masks.length > 0 ? this.#maskMm(frame, row, place, toMm) : Number.POSITIVE_INFINITY
    return found
  }

  /** Where bone that begins at a place ends again, mm from the axis; infinite beyond range. */
  #exitMm(row: number, place: number, entryMm: number): number {
    const insideMm = entryMm + INSIDE_MM
    if (!(this.#pose.onRay(row, place, insideMm) > 0)) return entryMm
    const ends = this.#trace.end(row, place, insideMm, RANGE_MM) === RAY_ENDS
    return ends ? this.#trace.foundMm : Number.POSITIVE_INFINITY
  }

  #openMm(row: number, place: number, fromMm: number, toMm: number): number {
    const { starts, directions, field } = this.#pose
    const { kinds, shape } = field.surface
    const i = starts[3 * row]
    const j = starts[3 * row + 1]
    const k = starts[3 * row + 2]
    if (this.#unscanned === null || this.#unscanned(i, j, k) > toMm) return Number.POSITIVE_INFINITY
    const at = 6 * place
    for (let mm = fromMm; mm <= toMm; mm += OPEN_STEP_MM) {
      const a = Math.round(i + mm * directions[at])
      const b = Math.round(j + mm * directions[at + 1])
      const c = Math.round(k + mm * directions[at + 2])
      const inGrid = a >= 0 && b >= 0 && c >= 0 && a < shape[0] && b < shape[1] && c < shape[2]
      if (!inGrid || kinds[a + shape[0] * (b + shape[1] * c)] === NODE_UNSCANNED) return mm
    }
    return Number.POSITIVE_INFINITY
  }

  /** Exact; boxes spare most rays the question. */
  #maskMm({ origin, x, y, z }: FixtureFrame, row: number, place: number, toMm: number): number {
    const { depthsMm, cosines, sines } = this.#pose.layout
    const c = cosines[2 * place]
    const s = sines[2 * place]
    let nearest = Number.POSITIVE_INFINITY
    for (const { low, high, toMask } of this.#masks) {
      let apart = false
      for (let axis = 0; axis < 3; axis++) {
        const from = origin[axis] + depthsMm[row] * z[axis]
        const to = from + toMm * (c * x[axis] + s * y[axis])
        apart ||= Math.min(from, to) > high[axis] || Math.max(from, to) < low[axis]
      }
      if (apart) continue
      const start = along(origin, z, depthsMm[row])
      const direction: Vec3 = [c * x[0] + s * y[0], c * x[1] + s * y[1], c * x[2] + s * y[2]]
      nearest = Math.min(nearest, toMask(start, direction, toMm) ?? Number.POSITIVE_INFINITY)
    }
    return nearest
  }
}

interface BoxedMask {
  readonly low: readonly number[]
  readonly high: readonly number[]
  readonly toMask: ReturnType<typeof rayToMasks>
}

function boxed(mask: BoneMask): BoxedMask {
  const toMask = rayToMasks([mask])
  if (!('triangles' in mask)) return { ...cylinderSolid(mask), toMask }
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  const high = low.map((v) => -v)
  for (let n = 0; n < mask.positions.length; n++) {
    low[n % 3] = Math.min(low[n % 3], mask.positions[n])
    high[n % 3] = Math.max(high[n % 3], mask.positions[n])
  }
  return { low, high, toMask }
}
