import type { FixtureFrame } from '../fixture/index.js'
import { along, type Vec3 } from '../space/index.js'
import { type BoneMask, rayToMasks } from './masks.js'
import { cylinderSolid } from './masks-cylinder.js'
import { CLEAR_OF_SURFACE_MM, FieldOutside } from './surface-outside.js'
import type { ProbePose } from './surface-probe-pose.js'

/** What lies beyond bone's outside on a ray, mm from the axis; infinite where nothing of that kind does. As FartherBone. */
export interface BeyondBone {
  entryMm: number
  /** Looked for only where bone farther out begins inside the fixture. */
  exitMm: number
  openMm: number
  maskMm: number
}

/** Follows a pose's rays through the outside. */
export class ProbeBeyond {
  readonly #pose: ProbePose
  readonly #outside: FieldOutside
  readonly #masks: readonly BoxedMask[]
  readonly #found: BeyondBone = { entryMm: 0, exitMm: 0, openMm: 0, maskMm: 0 }

  constructor(pose: ProbePose) {
    this.#pose = pose
    this.#outside = new FieldOutside(pose.field)
    this.#masks = pose.field.surface.model.masks.map(boxed)
  }

  /**
   * @param fromMm where bone ends on the ray, or 0 where its start is outside.
   * @returns the same object every time.
   */
  look(frame: FixtureFrame, row: number, place: number, fromMm: number, toMm: number): BeyondBone {
    const { starts: s, directions: d, layout } = this.#pose
    const outside = this.#outside
    const found = this.#found
    const startMm = fromMm > 0 ? fromMm + CLEAR_OF_SURFACE_MM : 0
    const at = 6 * place
    outside.stand(s[3 * row], s[3 * row + 1], s[3 * row + 2], d[at], d[at + 1], d[at + 2])
    found.entryMm = outside.entryMm(startMm, toMm)
    found.exitMm =
      found.entryMm <= layout.radiiMm[row] ? outside.exitMm(found.entryMm) : Number.POSITIVE_INFINITY
    found.openMm = outside.openMm(startMm, Math.min(toMm, found.entryMm))
    found.maskMm = this.#masks.length > 0 ? this.#maskMm(frame, row, place, toMm) : Number.POSITIVE_INFINITY
    return found
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
