import type { Vec3 } from '../space/index.js'
import { PEAK_MM } from './march.js'
import { rayToMasks } from './masks.js'
import type { BoneModel } from './model.js'
import type { SiteGrey } from './site-surface-grey.js'
import type { SiteGrid } from './site-surface-grid.js'
import { eachNeighbour } from './site-surface-kinds.js'
import { BY_GREY, BY_KINDS, BY_MASK, SurfacePoints } from './site-surface-points.js'
import { NODE_BONE, NODE_OUTSIDE } from './site-surface-result.js'

/** Falls are found to this share of an edge. */
const NEAR = 0.004
const TURNS = 8
const PEAK_STEP_MM = 0.1
/** Points between two pauses. */
const POINTS = 4000

/** What the surface's points are found from. */
export interface SettledSite {
  readonly model: BoneModel
  readonly grid: SiteGrid
  readonly grey: SiteGrey
  readonly kinds: Uint8Array
  /** 1 for nodes in a mask; null without masks. */
  readonly masked: Uint8Array | null
}

/** The places on the grid's edges between bone and outside where bone ends: where the blurred grey falls below the low threshold, not yet moved. */
export function* edgePoints(site: SettledSite): Generator<void, SurfacePoints> {
  const { grid, kinds, masked } = site
  const [nx, ny] = grid.shape
  const points = new SurfacePoints()
  const toMask = maskEnds(site)
  const direction: [number, number, number] = [0, 0, 0]
  let next = POINTS
  for (let n = 0; n < kinds.length; n++) {
    if (kinds[n] !== NODE_BONE) continue
    eachNeighbour(n, grid, (m, axis, side) => {
      if (kinds[m] !== NODE_OUTSIDE) return
      direction.fill(0)
      direction[axis] = side
      const [i, j, k] = [n % nx, Math.floor(n / nx) % ny, Math.floor(n / (nx * ny))]
      if (masked !== null && masked[m] === 1)
        add(points, n, BY_MASK, i, j, k, toMask([i, j, k], direction), direction)
      else addFall(points, site, n, i, j, k, direction)
    })
    if (points.count < next) continue
    next = points.count + POINTS
    yield
  }
  return points
}

function add(
  points: SurfacePoints,
  home: number,
  kind: number,
  i: number,
  j: number,
  k: number,
  t: number,
  [x, y, z]: Vec3,
): void {
  points.add(home, kind, i + t * x, j + t * y, k + t * z, x, y, z, 1)
}

function addFall(
  points: SurfacePoints,
  { grey, grid }: SettledSite,
  home: number,
  i: number,
  j: number,
  k: number,
  direction: Vec3,
): void {
  const t = fall(grey, i, j, k, direction)
  if (Number.isNaN(t)) {
    add(points, home, BY_KINDS, i, j, k, 0.5, direction)
    return
  }
  const x = i + t * direction[0]
  const y = j + t * direction[1]
  const z = k + t * direction[2]
  if (!grey.slope(x, y, z)) {
    add(points, home, BY_KINDS, i, j, k, t, direction)
    return
  }
  let peak = grey.at(x, y, z)
  const step = PEAK_STEP_MM / grid.stepMm
  for (let n = 1; n * PEAK_STEP_MM <= PEAK_MM; n++) {
    const behind = grey.at(x - n * step * grey.x, y - n * step * grey.y, z - n * step * grey.z)
    if (!(behind > peak)) continue
    peak = behind
  }
  points.add(home, BY_GREY, x, y, z, grey.x, grey.y, grey.z, grey.shareOf(peak, x, y, z))
}

/**
 * Where the grey falls below the low threshold between a node and the next, 0 to 1; NaN where it does not. False position
 * that halves the weight of an end that stays.
 */
function fall(grey: SiteGrey, i: number, j: number, k: number, [x, y, z]: Vec3): number {
  let low = 0
  let high = 1
  let atLow = grey.above(i, j, k)
  let atHigh = grey.above(i + x, j + y, k + z)
  if (!(atLow >= 0 && atHigh < 0)) return Number.NaN
  const near = NEAR * (atLow - atHigh)
  let stayed = 0
  let t = atLow / (atLow - atHigh)
  for (let turn = 0; turn < TURNS && high - low > NEAR; turn++) {
    const v = grey.above(i + t * x, j + t * y, k + t * z)
    if (!(Math.abs(v) > near)) return t
    if (v > 0) {
      low = t
      atLow = v
      if (stayed === 1) atHigh /= 2
      stayed = 1
    } else {
      high = t
      atHigh = v
      if (stayed === -1) atLow /= 2
      stayed = -1
    }
    t = low + ((high - low) * atLow) / (atLow - atHigh)
  }
  return t
}

/** How far from a node towards its neighbour inside a mask the mask begins, 0 to 1. */
function maskEnds({ model, grid }: SettledSite): (node: Vec3, direction: Vec3) => number {
  const toMasks = rayToMasks(model.masks)
  const { originMm, stepMm } = grid
  return ([i, j, k], direction) => {
    const point: Vec3 = [originMm[0] + i * stepMm, originMm[1] + j * stepMm, originMm[2] + k * stepMm]
    const mm = toMasks(point, direction, stepMm)
    // A node on the mask itself may count as inside.
    return mm === null ? 1 : mm / stepMm
  }
}
