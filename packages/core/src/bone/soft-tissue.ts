import type { Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import type { CoarseField } from './coarse.js'
import { softCells, type TissueLevels } from './levels.js'
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
const MOST_EVEN = 2000

export function softTissue(volume: Volume, field: CoarseField, levels: TissueLevels): SoftTissue {
  const near = softCells(levels, field, NEAREST_MM, FARTHEST_MM)
  const even = softCells(levels, field, EVEN_FROM_MM, EVEN_TO_MM)
  const local = blocksOf(volume, field, near).map(robustSd)
  const contrast = levels.cortexGrey - levels.softGrey
  const noiseSd = local.length > 0 ? Math.max(1, median(local)) : 0.03 * contrast
  return {
    noiseSd,
    neighbourCorrelation: neighbourCorrelation(volume, places(field, near, MOST_PAIRS), noiseSd),
    evenPlaces: places(field, even, MOST_EVEN),
  }
}

/** Greys of the voxels at the cells, block by block, where there are enough. */
function blocksOf(volume: Volume, field: CoarseField, cells: Uint32Array): number[][] {
  const blocks = new Map<number, number[]>()
  for (const cell of cells) {
    const [i, j, k] = placeOf(field, cell)
    const grey = voxelAt(volume, [i, j, k], null)
    if (grey === volume.noData) continue
    const at = (v: number, axis: 0 | 1 | 2) => Math.floor(v / (BLOCK * field.step[axis]))
    const block = at(i, 0) + 1000 * (at(j, 1) + 1000 * at(k, 2))
    const list = blocks.get(block)
    if (list === undefined) blocks.set(block, [grey])
    else list.push(grey)
  }
  return [...blocks.values()].filter((list) => list.length >= LEAST_IN_BLOCK)
}

/** At most so many of the cells, spread over all, in index space. */
function places(field: CoarseField, cells: Uint32Array, most: number): Vec3[] {
  const stride = Math.max(1, cells.length / most)
  const count = Math.min(cells.length, most)
  return Array.from({ length: count }, (_, n) => placeOf(field, cells[Math.floor(n * stride)]))
}

function placeOf({ shape: [nx, ny], step }: CoarseField, cell: number): Vec3 {
  return [
    (cell % nx) * step[0],
    (Math.floor(cell / nx) % ny) * step[1],
    Math.floor(cell / (nx * ny)) * step[2],
  ]
}

/** From the spread of the differences between neighbours: theirs is sqrt(2 (1 - r)) times the noise. */
function neighbourCorrelation(volume: Volume, places: readonly Vec3[], noiseSd: number): number {
  const differences: number[] = []
  for (const place of places) {
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
