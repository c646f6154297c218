import { fromFrame } from '../space/index.js'
import { boxAround, type IndexBox } from '../volume/index.js'
import { maskCells } from './masks.js'
import type { BoneModel } from './model.js'
import { signedDistances } from './site-surface-distance.js'
import { edgePoints } from './site-surface-edges.js'
import { endAtGaps } from './site-surface-gaps.js'
import { SiteGrey } from './site-surface-grey.js'
import { type SiteGrid, type SiteRegion, siteGrid } from './site-surface-grid.js'
import { movedInwards } from './site-surface-inwards.js'
import { cellKinds, settleKinds } from './site-surface-kinds.js'
import { nearestPoints } from './site-surface-nearest.js'
import { SurfacePoints } from './site-surface-points.js'
import { NODE_BONE, NODE_OUTSIDE, type SiteSurface } from './site-surface-result.js'

export interface SiteSurfaceOptions {
  /** Of the grid, mm; 0.25 when absent. */
  readonly stepMm?: number
}

const STEP_MM = 0.25
/** Hardness of the level of cortex. */
export const CORTEX_HARDNESS = 64
/** What slopes and peaks need round the region. */
const ROUND_MM = 1.5

/** siteSurfaceSteps run to their end. */
export function siteSurface(
  model: BoneModel,
  region: SiteRegion,
  options: SiteSurfaceOptions = {},
): SiteSurface {
  const steps = siteSurfaceSteps(model, region, options)
  let step = steps.next()
  while (!step.done) step = steps.next()
  return step.value
}

/**
 * The outer surface of bone in a region, found once, in steps of some 10 ms to pause or stop between. The surface is that
 * of the fast march: where the blurred grey last falls below the low threshold beside the flooded outside, moved inwards
 * by the known blur along the normal; see movedInwards.
 *
 * Distances are to ends inside the region: ask for one that reaches as far beyond the fixture as is to be measured.
 * @throws RangeError as siteGrid; as rayToMasks for masks.
 */
export function* siteSurfaceSteps(
  model: BoneModel,
  region: SiteRegion,
  { stepMm = STEP_MM }: SiteSurfaceOptions = {},
): Generator<void, SiteSurface> {
  const grid = siteGrid(region, stepMm)
  const kinds = yield* cellKinds(model, grid)
  const masked = maskedNodes(model, grid)
  if (masked !== null) for (let n = 0; n < kinds.length; n++) if (masked[n] === 1) kinds[n] = NODE_OUTSIDE
  yield
  const box = boxAround(model.volume, [region.lowMm, region.highMm, ...corners(region)], ROUND_MM)
  if (box !== null) yield* blurred(model, box)
  const grey = box === null ? null : new SiteGrey(model, grid, box)
  yield
  if (grey !== null) yield* settleKinds(kinds, model, grid, grey, masked)
  const found = grey === null ? new SurfacePoints() : yield* edgePoints({ model, grid, grey, kinds, masked })
  yield
  const points = yield* movedInwards(found, model, grid)
  yield
  const nearest = yield* nearestPoints(points, grid)
  const distanceMm = yield* signedDistances(kinds, nearest, points, grid)
  yield* endAtGaps(kinds, distanceMm, grid)
  const hardness = yield* hardnesses(kinds, grid, grey)
  return { model, ...grid, distanceMm, kinds, hardness }
}

function corners({ lowMm, highMm }: SiteRegion): [number, number, number][] {
  return [0, 1, 2, 3, 4, 5, 6, 7].map((corner) => [
    (corner & 1 ? highMm : lowMm)[0],
    (corner & 2 ? highMm : lowMm)[1],
    (corner & 4 ? highMm : lowMm)[2],
  ])
}

function maskedNodes({ masks }: BoneModel, { originMm, stepMm, shape }: SiteGrid): Uint8Array | null {
  if (masks.length === 0) return null
  const indexToWorld = fromFrame([stepMm, 0, 0], [0, stepMm, 0], [0, 0, stepMm], originMm)
  return maskCells(masks, { shape, step: [1, 1, 1], indexToWorld })
}

/** Blurs the voxels of a box piece by piece. */
function* blurred(model: BoneModel, box: IndexBox): Generator<void> {
  const [nx, ny, nz] = box.shape
  const [x, y, z] = box.start
  for (let k = 0; k < nz; k += PIECE)
    for (let j = 0; j < ny; j += PIECE)
      for (let i = 0; i < nx; i += PIECE) {
        const shape = [Math.min(PIECE, nx - i), Math.min(PIECE, ny - j), Math.min(PIECE, nz - k)] as const
        model.smoothed({ start: [x + i, y + j, z + k], shape }, box)
        yield
      }
}

const PIECE = 32
const SLICES = 8

function* hardnesses(kinds: Uint8Array, grid: SiteGrid, grey: SiteGrey | null): Generator<void, Uint8Array> {
  const [nx, ny, nz] = grid.shape
  const hardness = new Uint8Array(kinds.length)
  if (grey === null) return hardness
  for (let k = 0, n = 0; k < nz; k++) {
    if (k % SLICES === SLICES - 1) yield
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++)
        if (kinds[n] === NODE_BONE) {
          const share = grey.share(i, j, k)
          if (share > 0) hardness[n] = Math.min(255, Math.round(CORTEX_HARDNESS * share))
        }
  }
  return hardness
}
