import { normalize, scale, toWorld, type Vec3, type WorldPoint } from '../space/index.js'
import { createSampler, type Volume } from '../volume/index.js'
import type { CoarseField } from './coarse.js'
import { boneThreshold, surfaceCells, type TissueLevels } from './levels.js'
import { type DiscProfile, discProfile } from './profile.js'

const SITES = 2000
const DISC_MM = 0.5

/** A place of the outer surface: where it is in index space, and the grey across it. */
export interface SurfaceSite {
  readonly index: Vec3
  readonly profile: DiscProfile
}

/** Disc profiles along the outward normal at places spread over the outer surface, zero at the low crossing. */
export function surfaceSites(volume: Volume, field: CoarseField, levels: TissueLevels): SurfaceSite[] {
  const sample = createSampler(volume)
  const { softGrey, cortexGrey } = levels
  const bounds = {
    low: boneThreshold(softGrey, cortexGrey),
    air: softGrey - AIR_STEP_SHARE * (cortexGrey - softGrey),
    hard: softGrey + 0.5 * (cortexGrey - softGrey),
  }
  const surface = surfaceCells(levels.exterior)
  const stride = Math.max(1, surface.length / SITES)
  const sites: SurfaceSite[] = []
  for (let n = 0; n < surface.length; n += stride) {
    const place = placeAt(volume, field, surface[Math.floor(n)])
    if (place === null) continue
    const profile = discProfile(volume, sample, place.point, place.normal, {
      fromMm: -3.8,
      toMm: 2.4,
      stepMm: 0.1,
      radiusMm: DISC_MM,
    })
    const cut = aboutCrossing(profile, bounds)
    if (cut !== null) sites.push({ index: place.index, profile: cut })
  }
  return sites
}

function placeAt(
  volume: Volume,
  field: CoarseField,
  n: number,
): { index: Vec3; point: WorldPoint; normal: Vec3 } | null {
  const [nx, ny] = field.shape
  const steps: Vec3 = [1, nx, nx * ny]
  const gradient = ([0, 1, 2] as const).map((a) => slope(field.values, n, steps, a) / field.step[a])
  if (!gradient.every(Number.isFinite)) return null
  const { worldToIndex: m } = volume
  const world = [0, 1, 2].map(
    (c) => gradient[0] * m[4 * c] + gradient[1] * m[4 * c + 1] + gradient[2] * m[4 * c + 2],
  ) as [number, number, number]
  if (Math.hypot(...world) < 1e-6) return null
  const index = [n % nx, Math.floor(n / nx) % ny, Math.floor(n / (nx * ny))].map(
    (c, a) => c * field.step[a],
  ) as [number, number, number]
  return { index, point: toWorld(volume.indexToWorld, index), normal: normalize(scale(world, -1)) }
}

/**
 * Slope along an axis per cell, averaged over the nine neighbouring lines (Sobel's weights): noise that tilts the normal
 * would smear the edge over the disc, and the scan would seem less sharp than it is. Lines without data are left out.
 */
function slope(values: Float32Array, n: number, steps: Vec3, axis: 0 | 1 | 2): number {
  const [u, v] = axis === 0 ? [steps[1], steps[2]] : axis === 1 ? [steps[0], steps[2]] : [steps[0], steps[1]]
  let sum = 0
  let weight = 0
  for (let a = -1; a <= 1; a++)
    for (let b = -1; b <= 1; b++) {
      const at = n + a * u + b * v
      const rise = values[at + steps[axis]] - values[at - steps[axis]]
      if (Number.isNaN(rise)) continue
      const share = (2 - Math.abs(a)) * (2 - Math.abs(b))
      sum += share * rise
      weight += share
    }
  return sum / (2 * weight)
}

/** Grey falling this share of the bone contrast below soft tissue: the step from gum to air. */
const AIR_STEP_SHARE = 0.14
/** The blur of that step reaches this far back. */
const AIR_REACH_MM = 0.5
const LEAST_OUTSIDE_MM = 0.4

/**
 * The profile from -3.0 to +1.4 mm about its low crossing, cut short of a step to air.
 * Null when there is no crossing, the scan ends, nothing hard lies behind, or too little is left outside.
 */
function aboutCrossing(
  { positionsMm, greys }: DiscProfile,
  { low, air, hard }: { readonly low: number; readonly air: number; readonly hard: number },
): DiscProfile | null {
  const zero = positionsMm.findIndex((x) => x > -1e-9)
  let at = -1
  for (let n = zero - 7; n <= zero + 6; n++) if (greys[n] >= low && greys[n + 1] < low) at = n
  const from = at - 30
  if (at < 0 || from < 0) return null
  let to = at + 14
  for (let n = at; n <= at + 20 && n < greys.length; n++)
    if (greys[n] < air) {
      to = Math.min(to, n - Math.round(AIR_REACH_MM / 0.1))
      break
    }
  if (to >= greys.length || to - at < LEAST_OUTSIDE_MM / 0.1) return null
  const kept = greys.slice(from, to + 1)
  if (kept.some(Number.isNaN) || !kept.some((v) => v > hard)) return null
  const shift = positionsMm[at]
  return { positionsMm: positionsMm.slice(from, to + 1).map((x) => x - shift), greys: kept }
}
