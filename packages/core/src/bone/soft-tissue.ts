import type { Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import type { CoarseField } from './coarse.js'
import { OUTSIDE } from './exterior.js'
import { type TissueLevels, toAirMm } from './levels.js'
import { median, robustSd } from './statistics.js'

/** Voxels of what lies just outside bone, away from air. */
export interface SoftTissue {
  /** SD of the voxel noise. */
  readonly noiseSd: number
  /** Correlation of the noise of neighbouring voxels: 0 for white noise. */
  readonly neighbourCorrelation: number
  /** Places with even tissue for more than a millimetre all round, index space. */
  readonly evenPlaces: readonly Vec3[]
}

const NEAREST_MM = 0.8
const FARTHEST_MM = 3
const EVEN_FROM_MM = 1.8
const EVEN_TO_MM = 5
/** Side of a block in cells; noise is the median over blocks, so that shading does not count as noise. */
const BLOCK = 10
const LEAST_IN_BLOCK = 30
const MOST_PAIRS = 20_000

export function softTissue(volume: Volume, field: CoarseField, levels: TissueLevels): SoftTissue {
  const airMm = toAirMm(field, levels.softGrey, levels.cortexGrey)
  const { toBoneMm, exterior } = levels
  const blocks = new Map<number, number[]>()
  const near: Vec3[] = []
  const evenPlaces: Vec3[] = []
  const [nx, ny] = field.shape
  for (let n = 0; n < toBoneMm.length; n++) {
    const d = toBoneMm[n]
    if (exterior.cells[n] !== OUTSIDE || d < NEAREST_MM || d > EVEN_TO_MM || airMm[n] < NEAREST_MM) continue
    const i = n % nx
    const j = Math.floor(n / nx) % ny
    const k = Math.floor(n / (nx * ny))
    const place: Vec3 = [i * field.step[0], j * field.step[1], k * field.step[2]]
    if (d >= EVEN_FROM_MM && airMm[n] >= EVEN_FROM_MM) evenPlaces.push(place)
    const v = voxelAt(volume, place, null)
    if (d > FARTHEST_MM || v === volume.noData) continue
    near.push(place)
    const block = Math.floor(i / BLOCK) + 1000 * (Math.floor(j / BLOCK) + 1000 * Math.floor(k / BLOCK))
    const list = blocks.get(block)
    if (list === undefined) blocks.set(block, [v])
    else list.push(v)
  }
  const local = [...blocks.values()].filter((list) => list.length >= LEAST_IN_BLOCK).map(robustSd)
  const contrast = levels.cortexGrey - levels.softGrey
  const noiseSd = local.length > 0 ? Math.max(1, median(local)) : 0.03 * contrast
  return { noiseSd, neighbourCorrelation: neighbourCorrelation(volume, near, noiseSd), evenPlaces }
}

/** From the spread of the differences between neighbours: theirs is sqrt(2 (1 - r)) times the noise. */
function neighbourCorrelation(volume: Volume, places: readonly Vec3[], noiseSd: number): number {
  const differences: number[] = []
  const stride = Math.max(1, places.length / MOST_PAIRS)
  for (let n = 0; n < places.length; n += stride) {
    const place = places[Math.floor(n)] as Vec3
    const axis = differences.length % 3
    const a = voxelAt(volume, place, null)
    const b = voxelAt(volume, place, axis)
    if (a !== volume.noData && b !== volume.noData) differences.push(b - a)
  }
  if (differences.length === 0) return 0
  return Math.max(0, 1 - robustSd(differences) ** 2 / (2 * noiseSd * noiseSd))
}

/** The voxel nearest to a place, or its neighbour along an axis (towards the start where the scan ends). */
function voxelAt({ data, offset, shape, stride }: Volume, place: Vec3, axis: number | null): number {
  let at = offset
  for (const a of [0, 1, 2] as const) {
    const n = Math.min(shape[a] - 1, Math.round(place[a]))
    const neighbour = a !== axis ? 0 : n < shape[a] - 1 ? 1 : -1
    at += stride[a] * Math.max(0, n + neighbour)
  }
  return data[at] as number
}
