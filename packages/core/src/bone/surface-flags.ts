import type { Vec3, WorldPoint } from '../space/index.js'
import { FLAG_BITS, type SurfaceHits } from './hits.js'
import {
  DENTINE_RUN_MM,
  DENTINE_SHARE,
  ENAMEL_SHARE,
  HARD_RUN_MM,
  HARD_SHARE,
  HARD_STEP_MM,
  leaps,
} from './ray-flags.js'
import type { RayFan } from './rays.js'
import { CORTEX_HARDNESS } from './site-surface.js'
import type { ProbeField } from './surface-probe-field.js'

/** Half the way over which the field's slope is taken, in units of the grid. */
const SLOPE = 0.5

/**
 * What makes the rays of a map less sure, as in rayFlags, by the hardness of the nearest nodes and the slope of the field.
 * @param net hits of the whole fan.
 * @param leaks 1 for rays that the outside reaches through a narrow opening only.
 * @returns bits of FLAG_BITS for the rays of the map.
 */
export function surfaceFlags(
  field: ProbeField,
  fan: RayFan,
  net: SurfaceHits,
  leaks: Uint8Array,
): Uint8Array {
  const flags = new Uint8Array(fan.mapRows * fan.columns)
  const first = fan.mapFrom * fan.columns
  const traces = { normals: outwardNormals(field, net), peaks: new Float64Array(0) }
  for (let n = 0; n < flags.length; n++) {
    const ray = first + n
    if (leaks[ray] === 1) flags[n] |= FLAG_BITS.leak
    const toMm = net.states[ray] === 'bone' ? net.radiusMm[ray] : net.followedMm[ray]
    if (isHard(field, fan, ray, toMm) || leaps(fan, { hits: net, traces }, ray)) flags[n] |= FLAG_BITS.tooth
  }
  return flags
}

function outwardNormals(field: ProbeField, { states, points }: SurfaceHits): Float64Array {
  const normals = new Float64Array(points.length)
  for (let n = 0; n < states.length; n++) {
    if (states[n] !== 'bone') continue
    const [i, j, k] = field.place([points[3 * n], points[3 * n + 1], points[3 * n + 2]])
    const x = field.at(i - SLOPE, j, k) - field.at(i + SLOPE, j, k)
    const y = field.at(i, j - SLOPE, k) - field.at(i, j + SLOPE, k)
    const z = field.at(i, j, k - SLOPE) - field.at(i, j, k + SLOPE)
    const size = Math.hypot(x, y, z)
    if (size > 0) normals.set([x / size, y / size, z / size], 3 * n)
  }
  return normals
}

/** Whether a ray runs through what is harder than a plate of bone. */
function isHard(
  field: ProbeField,
  { starts, directions, columns }: RayFan,
  ray: number,
  toMm: number,
): boolean {
  const { hardness, shape, stepMm } = field.surface
  const [nx, ny, nz] = shape
  const [i, j, k] = field.place(starts[Math.floor(ray / columns)] as WorldPoint)
  const [di, dj, dk] = (directions[ray] as Vec3).map((v) => v / stepMm)
  let run = 0
  let dense = 0
  for (let mm = 0; mm < toMm; mm += HARD_STEP_MM) {
    const a = Math.floor(i + mm * di + 0.5)
    const b = Math.floor(j + mm * dj + 0.5)
    const c = Math.floor(k + mm * dk + 0.5)
    if (!(a >= 0 && b >= 0 && c >= 0 && a < nx && b < ny && c < nz)) return false
    const share = hardness[a + nx * (b + ny * c)] / CORTEX_HARDNESS
    if (share > ENAMEL_SHARE) return true
    run = share > HARD_SHARE ? run + HARD_STEP_MM : 0
    dense = share > DENTINE_SHARE ? dense + HARD_STEP_MM : 0
    if (run > HARD_RUN_MM || dense > DENTINE_RUN_MM) return true
  }
  return false
}
