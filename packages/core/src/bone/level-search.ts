import type { Vec3 } from '../space/index.js'
import { allCells, type CellSet, cellNumbers, cellsAtLeast, hasCell, without } from './cell-set.js'
import { type CoarseField, everyFew } from './coarse.js'
import { usualClosingMm } from './exterior.js'
import { type Flood, type FloodGreys, flood, type Ground, groundOf } from './flood.js'
import { grown } from './grow.js'
import { type BoneMask, maskedCells } from './masks.js'
import { type Histogram, histogram, median, otsuThreshold } from './statistics.js'
import { greysFor } from './thresholds.js'

/** A flood on every few cells of a field, by which the levels were found. */
export interface RoughFlood {
  readonly field: CoarseField
  readonly ground: Ground
  readonly flood: Flood
}

export interface FoundLevels {
  readonly softGrey: number
  readonly cortexGrey: number
  readonly rough: RoughFlood
}

/** The levels are looked for among cells of this size: eight times as few. */
const SEARCH_MM = 0.6

/**
 * Finds the level of what surrounds bone and a first cortical level from the blurred scan alone.
 * Otsu cuts give the hard tissue. A flood at half height meets soft tissue, air
 * and perhaps marrow; of the greys common just outside what it met, the lowest is taken whose own flood ends at hard
 * tissue nearly everywhere: air ends at gum and skin instead, marrow is never the lowest.
 */
export function searchLevels(fine: CoarseField, masks: readonly BoneMask[]): FoundLevels {
  const every = fine.cellMm.map((c) => Math.max(1, Math.floor(SEARCH_MM / c + 0.01))) as unknown as Vec3
  const field = everyFew(fine, every)
  const masked = maskedCells(masks, field)
  const floodFor = (greys: FloodGreys): RoughFlood => {
    const ground = groundOf(field, greys, masked)
    return { field, ground, flood: flood(field, ground, usualClosingMm(field)) }
  }
  const tissue = valuesOf(field, without(allCells(field.shape), masked.blurred))
  const [low, high] = robustRange(tissue)
  const bins = histogram(tissue, low, high, 512)
  const hardCut = hardThreshold(bins, low, high)
  const cortexGrey = percentileBetween(bins, hardCut, high, 0.5)
  const common = commonestBetween(bins, low, hardCut)
  const halfway = greysFor(common, cortexGrey, 0.5)
  const near = greysBeside(fine, every, floodFor(halfway), halfway.boneGrey)
  const peaks = near.length < 50 ? [common] : commonGreys(near)
  // Thin gum alone has no peak of its own: then levels are tried from the commonest up to hard tissue.
  const candidates = [...peaks, ...[1, 2, 3, 4, 5, 6].map((n) => common + (n / 8) * (hardCut - common))]
  const maskedFine = maskedCells(masks, fine).cells
  let likeliest: FoundLevels | null = null
  let leastFall = Number.POSITIVE_INFINITY
  for (const softGrey of candidates) {
    const greys = greysFor(softGrey, cortexGrey)
    const rough = floodFor(greys)
    // On the finer cells: air must not pass for soft tissue because gum is hardly thicker than a cell is wide.
    const halfGrey = Math.min(hardCut, (softGrey + cortexGrey) / 2)
    const hard = without(cellsAtLeast(fine.values, fine.shape, halfGrey), maskedFine)
    const nearHard = grown(hard, hardWithinMm(fine), fine.cellMm)
    if (shareWithin(rough.flood.surface, nearHard, every) < LEAST_HARD_SHARE) continue
    const found = { softGrey, cortexGrey, rough }
    const beside = median(greysBeside(fine, every, rough, greys.boneGrey, PLATEAU_MM))
    const fall = Math.abs(beside - softGrey) / (cortexGrey - softGrey)
    if (fall < PLATEAU_SHARE) return found
    if (likeliest === null || fall < leastFall) {
      likeliest = found
      leastFall = fall
    }
  }
  return likeliest ?? { softGrey: common, cortexGrey, rough: floodFor(greysFor(common, cortexGrey)) }
}

/**
 * Outside of its own surface a level is found. One between gum and air is not: there the step goes on down to air. Where
 * thin gum alone lies round bone, none is quite; then the one that comes nearest to it is taken.
 */
const PLATEAU_MM: readonly [number, number] = [0.5, 1]
const PLATEAU_SHARE = 0.2

/** Share of a surface of rough cells that lies within a set of fine ones; 0 without a surface. */
function shareWithin(surface: CellSet, fine: CellSet, every: Vec3): number {
  const cells = cellNumbers(surface)
  let within = 0
  for (const n of cells) {
    const [i, j, k] = placeOf(n, surface.shape)
    if (hasCell(fine, i * every[0], j * every[1], k * every[2])) within++
  }
  return cells.length === 0 ? 0 : within / cells.length
}

/** Bone and teeth never fill more of a scan than this. */
const GREATEST_HARD_SHARE = 0.3

/** The grey from which tissue is hard: the first Otsu cut, or one more above it where the first only parts off air. */
function hardThreshold(bins: Histogram, low: number, high: number): number {
  const first = otsuThreshold(bins)
  const above = bins.counts.subarray(Math.round((first - low) / bins.binWidth)).reduce((a, b) => a + b, 0)
  if (above <= GREATEST_HARD_SHARE * bins.counts.reduce((a, b) => a + b, 0)) return first
  return Math.min(high, otsuThreshold(bins, Math.max(1, Math.round((first - low) / bins.binWidth))))
}

/** Jaw scans and phantoms: 0.59 to 1.00 at the right level, 0.5 at most at air's, with gum of 1 mm and more. */
const LEAST_HARD_SHARE = 0.55
/**
 * Half of a surface's cells lie nearer to hard tissue than this when the level is right: an edge rises from the low to
 * the half level in 0.5 mm, and a cell lies up to its own size before it. From 1.5 mm of gum on air ends farther.
 */
const HARD_WITHIN_MM = 0.95

/** Coarser scans are blurred more. */
const hardWithinMm = ({ cellMm: [x, y, z] }: CoarseField): number =>
  HARD_WITHIN_MM + 1.5 * Math.max(0, Math.cbrt(x * y * z) - 0.3)

const placeOf = (n: number, [nx, ny]: Vec3): Vec3 => [
  n % nx,
  Math.floor(n / nx) % ny,
  Math.floor(n / (nx * ny)),
]

/** So far from bone its blur has ended, and thin gum has not. */
const BESIDE_MM: readonly [number, number] = [0.7, 1.4]
const MOST_BESIDE = 200_000

/** Blurred greys just outside of bone, on the finer cells: gum may be hardly thicker than a rough one is wide. */
function greysBeside(
  fine: CoarseField,
  every: Vec3,
  { ground, flood }: RoughFlood,
  boneGrey: number,
  [from, to] = BESIDE_MM,
): Float32Array {
  const bone = cellsAtLeast(fine.values, fine.shape, boneGrey)
  const cells = cellNumbers(without(grown(bone, to, fine.cellMm), grown(bone, from, fine.cellMm)))
  const clear = without(flood.outside, ground.masked.blurred)
  const stride = Math.max(1, Math.floor(cells.length / MOST_BESIDE))
  const greys: number[] = []
  for (let n = 0; n < cells.length; n += stride) {
    const [i, j, k] = placeOf(cells[n], fine.shape)
    const at = [i, j, k].map((v, a) => Math.min(clear.shape[a] - 1, Math.round(v / every[a])))
    const grey = fine.values[cells[n]]
    if (hasCell(clear, at[0], at[1], at[2]) && !Number.isNaN(grey)) greys.push(grey)
  }
  return Float32Array.from(greys)
}

/** A loop, because TypedArray.from with a function takes twenty times as long. */
function valuesOf({ values }: CoarseField, cells: CellSet): Float32Array {
  const numbers = cellNumbers(cells)
  const picked = new Float32Array(numbers.length)
  for (let n = 0; n < picked.length; n++) picked[n] = values[numbers[n]]
  return picked
}

function robustRange(values: Float32Array): [number, number] {
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let n = 0; n < values.length; n++) {
    const v = values[n]
    if (v < least) least = v
    if (v > most) most = v
  }
  // A scan without data has no levels; any will do, since nothing is measured on it.
  if (!(least <= most)) return [0, 1]
  const bins = histogram(values, least, most, 4096)
  return [percentileBetween(bins, least, most, 0.001), percentileBetween(bins, least, most, 0.999)]
}

/** The grey below which a share of the counts between two greys lies. */
function percentileBetween(
  { low, binWidth, counts }: Histogram,
  from: number,
  to: number,
  share: number,
): number {
  const first = Math.max(0, Math.floor((from - low) / binWidth + 1e-9))
  const last = Math.min(counts.length, Math.ceil((to - low) / binWidth - 1e-9))
  const total = counts.subarray(first, last).reduce((a, b) => a + b, 0)
  let sum = 0
  for (let n = first; n < last; n++) {
    sum += counts[n]
    if (sum >= share * total) return low + (n + 0.5) * binWidth
  }
  return to
}

/** The highest bin, lightly smoothed, between two greys: the commonest grey. */
function commonestBetween({ low, binWidth, counts }: Histogram, from: number, to: number): number {
  const first = Math.max(0, Math.floor((from - low) / binWidth + 1e-9))
  const last = Math.min(counts.length, Math.ceil((to - low) / binWidth - 1e-9))
  let best = first
  let most = -1
  for (let n = first; n < last; n++) {
    let sum = 0
    for (let d = -4; d <= 4; d++) if (n + d >= first && n + d < last) sum += counts[n + d] * (5 - Math.abs(d))
    if (sum > most) {
      most = sum
      best = n
    }
  }
  return low + (best + 0.5) * binWidth
}

/** The peaks of a smoothed histogram that reach a tenth of the highest, from low to high grey. */
function commonGreys(values: Float32Array): number[] {
  const sorted = values.slice().sort()
  const low = sorted[Math.floor(0.005 * sorted.length)]
  const high = sorted[Math.floor(0.995 * sorted.length)]
  const { counts, binWidth } = histogram(sorted, low, high, 128)
  const smooth = counts.map((_, n) => {
    let sum = 0
    for (let d = -6; d <= 6; d++) sum += (counts[n + d] ?? 0) * (7 - Math.abs(d))
    return sum
  })
  const highest = smooth.reduce((a, b) => Math.max(a, b))
  const peaks: number[] = []
  for (let n = 0; n < smooth.length; n++) {
    const around = smooth.subarray(Math.max(0, n - 8), n + 9)
    if (smooth[n] >= 0.1 * highest && smooth[n] === around.reduce((a, b) => Math.max(a, b)))
      peaks.push(low + (n + 0.5) * binWidth)
  }
  return peaks
}
