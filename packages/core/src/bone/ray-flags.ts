import { dot, subtract, toIndex, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import type { IndexSampler } from '../volume/index.js'
import { FLAG_BITS, type SurfaceHits } from './hits.js'
import { type MarchedSurface, marchedRegion } from './march.js'
import type { BoneModel } from './model.js'
import type { RayFan } from './rays.js'
import type { RefinedSurface } from './refine.js'

/** Thinner than this many sigmas of the blur, a plate's own thickness cannot be told any more. */
const THIN_SIGMAS = 1.5
/** Brighter than cortex by this much, as shares of the contrast: enamel, or metal. */
export const ENAMEL_SHARE = 1.3
/** Brighter than the plateau of cortex for longer than its own unevenness lasts: dentine. */
export const DENTINE_SHARE = 1.1
export const DENTINE_RUN_MM = 0.5
/** Cortical level for so long: more than a plate, so perhaps dentine. */
export const HARD_SHARE = 0.8
export const HARD_RUN_MM = 3.5
/** The surface leaping by so much from one angle to the next. */
export const LEAP_MM = 1.5
export const HARD_STEP_MM = 0.25

/**
 * What makes the rays of a map less sure. The marks of a tooth are rules of thumb that no study has tested: grey above
 * 1.3 of the cortical contrast, cortical grey for over 3.5 mm, or the surface leaping by over 1.5 mm between neighbouring
 * angles. At the usual blur the gap between root and bone, 0.2 mm, cannot be seen.
 * @param hits of the map's rays.
 */
export function rayFlags(
  model: BoneModel,
  fan: RayFan,
  hits: SurfaceHits,
  marched: MarchedSurface,
  refined: RefinedSurface | null,
): Uint8Array {
  const flags = new Uint8Array(hits.states.length)
  const sample = marchedRegion(model, fan)
  const first = fan.mapFrom * fan.columns
  for (let n = 0; n < flags.length; n++) {
    if (marched.leaks[first + n] === 1) flags[n] |= FLAG_BITS.leak
    const toMm = hits.states[n] === 'bone' ? hits.radiusMm[n] : hits.followedMm[n]
    if (sample !== null && (isHard(model, fan, sample, first + n, toMm) || leaps(fan, marched, first + n)))
      flags[n] |= FLAG_BITS.tooth
    if (refined === null || hits.states[n] !== 'bone') continue
    if (refined.cortexMm[first + n] < THIN_SIGMAS * refined.blurMm) flags[n] |= FLAG_BITS.thin
    if (refined.unrefined[first + n] === 1) flags[n] |= FLAG_BITS.unrefined
  }
  return flags
}

function isHard(
  { volume, calibration, softAt }: BoneModel,
  fan: RayFan,
  sample: IndexSampler,
  ray: number,
  toMm: number,
): boolean {
  const [i, j, k] = toIndex(volume.worldToIndex, fan.starts[Math.floor(ray / fan.columns)] as WorldPoint)
  const [di, dj, dk] = transformDirection(volume.worldToIndex, fan.directions[ray] as Vec3)
  const soft = softAt(i + toMm * di, j + toMm * dj, k + toMm * dk)
  const contrast = calibration.cortexGrey - soft
  let run = 0
  let dense = 0
  for (let t = 0; t < toMm; t += HARD_STEP_MM) {
    const share = (sample(i + t * di, j + t * dj, k + t * dk) - soft) / contrast
    if (share > ENAMEL_SHARE) return true
    run = share > HARD_SHARE ? run + HARD_STEP_MM : 0
    dense = share > DENTINE_SHARE ? dense + HARD_STEP_MM : 0
    if (run > HARD_RUN_MM || dense > DENTINE_RUN_MM) return true
  }
  return false
}

/**
 * Whether the surface lies much farther out here than on one of the neighbouring rays, and than that one's tangent plane
 * would have it: a plate that runs obliquely does not leap.
 */
export function leaps(
  { starts, directions, columns }: RayFan,
  { hits, traces }: Pick<MarchedSurface, 'hits' | 'traces'>,
  ray: number,
): boolean {
  const row = ray - (ray % columns)
  const start = starts[row / columns] as WorldPoint
  return [1, columns - 1].some((d) => {
    const other = row + ((ray + d) % columns)
    if (!(hits.radiusMm[ray] - hits.radiusMm[other] > LEAP_MM)) return false
    const at = (xyz: Float64Array): Vec3 => [xyz[3 * other], xyz[3 * other + 1], xyz[3 * other + 2]]
    const normal = at(traces.normals)
    const towards = dot(directions[ray] as Vec3, normal)
    const planeMm = dot(subtract(at(hits.points), start), normal) / towards
    return towards > 0 && hits.radiusMm[ray] - planeMm > LEAP_MM
  })
}
