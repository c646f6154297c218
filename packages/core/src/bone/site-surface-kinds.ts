import { afterMm, BEFORE_MM } from './march.js'
import type { BoneModel } from './model.js'
import type { SiteGrey } from './site-surface-grey.js'
import { type NodePlaces, nodeIndices, type SiteGrid } from './site-surface-grid.js'
import { NODE_BONE, NODE_OUTSIDE, NODE_UNSCANNED } from './site-surface-result.js'
import { INSIDE, OUTSIDE } from './space-kinds.js'

/** Slices of the grid between two pauses. */
const SLICES = 16

/** What each node is by the cells of the flooded outside. */
export function* cellKinds(model: BoneModel, grid: SiteGrid): Generator<void, Uint8Array> {
  const { cells, shape, step } = model.exterior
  const [nx, ny, nz] = grid.shape
  const { origin, along } = inCells(nodeIndices(grid, model.volume), step)
  const kinds = new Uint8Array(nx * ny * nz)
  for (let k = 0, n = 0; k < nz; k++) {
    if (k % SLICES === SLICES - 1) yield
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        const a = Math.floor(origin[0] + i * along[0][0] + j * along[1][0] + k * along[2][0] + 0.5)
        const b = Math.floor(origin[1] + i * along[0][1] + j * along[1][1] + k * along[2][1] + 0.5)
        const c = Math.floor(origin[2] + i * along[0][2] + j * along[1][2] + k * along[2][2] + 0.5)
        const inCells = a >= 0 && b >= 0 && c >= 0 && a < shape[0] && b < shape[1] && c < shape[2]
        const cell = inCells ? cells[a + shape[0] * (b + shape[1] * c)] : -1
        kinds[n] = cell === INSIDE ? NODE_BONE : cell === OUTSIDE ? NODE_OUTSIDE : NODE_UNSCANNED
      }
  }
  return kinds
}

const inCells = ({ origin, along }: NodePlaces, step: readonly number[]): NodePlaces => {
  const each = ([x, y, z]: readonly number[]) => [x / step[0], y / step[1], z / step[2]] as const
  return { origin: each(origin), along: [each(along[0]), each(along[1]), each(along[2])] }
}

/**
 * Sets the kinds of nodes near the edge of the flooded outside by the finer grey: bone up to its last fall below the low
 * threshold, as on the rays of the fast march. From within grown outwards over what is not below it, as far as blur and
 * cells may differ; then from outside inwards over what is below it, a millimetre at most. Missing data stops both.
 * @param masked 1 for nodes in a mask: they stay outside, whatever their grey.
 */
export function* settleKinds(
  kinds: Uint8Array,
  model: BoneModel,
  grid: SiteGrid,
  grey: SiteGrey,
  masked: Uint8Array | null,
): Generator<void> {
  const layers = (mm: number) => Math.round(mm / grid.stepMm)
  const outside = { kinds, grid, grey, masked, from: NODE_OUTSIDE, to: NODE_BONE }
  yield* grow(outside, layers(afterMm(model)))
  yield* grow({ ...outside, from: NODE_BONE, to: NODE_OUTSIDE }, layers(BEFORE_MM))
}

interface Growth {
  readonly kinds: Uint8Array
  readonly grid: SiteGrid
  readonly grey: SiteGrey
  readonly masked: Uint8Array | null
  /** Nodes of that kind become nodes of the other, starting where they touch one of it. */
  readonly from: number
  readonly to: number
}

/** Looks between two pauses. */
const LOOKS = 20000

function* grow({ kinds, grid, grey, masked, from, to }: Growth, layers: number): Generator<void> {
  const [nx, ny] = grid.shape
  const seen = new Uint8Array(kinds.length)
  let front = yield* touching(kinds, grid, from, to)
  for (const n of front) seen[n] = 1
  let looks = 0
  for (let layer = 0; layer < layers && front.length > 0; layer++) {
    const grown: number[] = []
    for (const n of front) {
      if (masked !== null && masked[n] === 1) continue
      if (++looks % LOOKS === 0) yield
      const above = grey.above(n % nx, Math.floor(n / nx) % ny, Math.floor(n / (nx * ny)))
      if (Number.isNaN(above)) kinds[n] = NODE_UNSCANNED
      else if (above >= 0 === (to === NODE_BONE)) grown.push(n)
    }
    for (const n of grown) kinds[n] = to
    front = []
    for (const n of grown)
      eachNeighbour(n, grid, (m) => {
        if (kinds[m] !== from || seen[m] === 1) return
        seen[m] = 1
        front.push(m)
      })
  }
}

/** Nodes of a kind beside one of another. */
function* touching(
  kinds: Uint8Array,
  { shape: [nx, ny, nz] }: SiteGrid,
  from: number,
  to: number,
): Generator<void, number[]> {
  const slice = nx * ny
  const found: number[] = []
  for (let k = 0, n = 0; k < nz; k++) {
    if (k % (4 * SLICES) === 0) yield
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++)
        if (
          kinds[n] === from &&
          ((i > 0 && kinds[n - 1] === to) ||
            (i < nx - 1 && kinds[n + 1] === to) ||
            (j > 0 && kinds[n - nx] === to) ||
            (j < ny - 1 && kinds[n + nx] === to) ||
            (k > 0 && kinds[n - slice] === to) ||
            (k < nz - 1 && kinds[n + slice] === to))
        )
          found.push(n)
  }
  return found
}

/** The up to six nodes beside a node. */
export function eachNeighbour(
  n: number,
  { shape: [nx, ny, nz] }: SiteGrid,
  use: (neighbour: number, axis: number, side: number) => void,
): void {
  const slice = nx * ny
  const i = n % nx
  const k = Math.floor(n / slice)
  const j = Math.floor((n - k * slice) / nx)
  if (i > 0) use(n - 1, 0, -1)
  if (i < nx - 1) use(n + 1, 0, 1)
  if (j > 0) use(n - nx, 1, -1)
  if (j < ny - 1) use(n + nx, 1, 1)
  if (k > 0) use(n - slice, 2, -1)
  if (k < nz - 1) use(n + slice, 2, 1)
}
