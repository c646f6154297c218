import type { CoarseField } from './coarse.js'
import { chamferDistanceMm } from './distance.js'
import { type ExteriorMask, exteriorMask, INSIDE, OUTSIDE } from './exterior.js'
import { type Histogram, histogram, otsuThreshold } from './statistics.js'

/** Share of the way from the soft level to the cortical level that already counts as bone (flood and ray march). */
export const LOW_SHARE = 0.12

/** First estimates of the levels and the flood made with them. */
export interface TissueLevels {
  readonly softGrey: number
  readonly cortexGrey: number
  readonly exterior: ExteriorMask
  /** Distance of exterior cells to bone, mm; see chamferDistanceMm. */
  readonly toBoneMm: Float32Array
}

export const boneThreshold = (softGrey: number, cortexGrey: number): number =>
  softGrey + LOW_SHARE * (cortexGrey - softGrey)

/** Well below soft tissue: air, if the scan has any. */
export const airThreshold = (softGrey: number, cortexGrey: number): number =>
  softGrey - 0.35 * (cortexGrey - softGrey)

/**
 * Finds the level of what surrounds bone and a first cortical level from the blurred scan alone.
 * Otsu cuts give the hard tissue. A flood at half height meets soft tissue, air
 * and perhaps marrow; of the greys common just outside what it met, the lowest is taken whose own flood ends at hard
 * tissue nearly everywhere: air ends at gum and skin instead, marrow is never the lowest.
 */
export function tissueLevels(field: CoarseField): TissueLevels {
  const [low, high] = robustRange(field.values)
  const bins = histogram(field.values, low, high, 512)
  const hardCut = hardThreshold(bins, low, high)
  const cortexGrey = percentileBetween(bins, hardCut, high, 0.5)
  const common = commonestBetween(bins, low, hardCut)
  const halfway = {
    exterior: exteriorFor(field, common, cortexGrey, 0.5),
    toBoneMm: toBone(field, common, cortexGrey, 0.5),
  }
  const near = greysAtDistance(field, halfway, 0.7, 1.4)
  const peaks = near.length < 50 ? [common] : commonGreys(near)
  // Thin gum alone has no peak of its own: then levels are tried from the commonest up to hard tissue.
  const candidates = [...peaks, ...[1, 2, 3, 4, 5, 6].map((n) => common + (n / 8) * (hardCut - common))]
  const toHardMm = chamferDistanceMm(
    marked(field.values, (v) => v > hardCut),
    field.shape,
    field.cellMm,
  )
  for (const softGrey of candidates) {
    const exterior = exteriorFor(field, softGrey, cortexGrey)
    if (hardShare(field, exterior, toHardMm) >= LEAST_HARD_SHARE)
      return { softGrey, cortexGrey, exterior, toBoneMm: toBone(field, softGrey, cortexGrey) }
  }
  const exterior = exteriorFor(field, common, cortexGrey)
  return { softGrey: common, cortexGrey, exterior, toBoneMm: toBone(field, common, cortexGrey) }
}

/** Bone and teeth never fill more of a scan than this. */
const GREATEST_HARD_SHARE = 0.35

/** The grey from which tissue is hard: the first Otsu cut, or one more above it where the first only parts off air. */
function hardThreshold(bins: Histogram, low: number, high: number): number {
  const first = otsuThreshold(bins)
  const above = bins.counts.subarray(Math.round((first - low) / bins.binWidth)).reduce((a, b) => a + b, 0)
  if (above <= GREATEST_HARD_SHARE * bins.counts.reduce((a, b) => a + b, 0)) return first
  return Math.min(high, otsuThreshold(bins, Math.max(1, Math.round((first - low) / bins.binWidth))))
}

/** Jaw scans of 0.2 mm voxels, gum of 0.8 mm and more: 0.70 to 1.00 at the right level, 0.32 at most at air's. */
const LEAST_HARD_SHARE = 0.45
/** An edge rises from the low to the half level in 0.5 mm, and cells lie 0.3 mm apart on either side: gum is thicker. */
const HARD_WITHIN_MM = 1

/** Share of the outside's surface that has hard tissue within a short way. */
function hardShare(field: CoarseField, exterior: ExteriorMask, toHardMm: Float32Array): number {
  const surface = surfaceCells(exterior)
  if (surface.length === 0) return 0
  const withinMm =
    HARD_WITHIN_MM + 1.5 * Math.max(0, Math.cbrt(field.cellMm[0] * field.cellMm[1] * field.cellMm[2]) - 0.3)
  return surface.filter((n) => toHardMm[n] <= withinMm).length / surface.length
}

/** Cells of the outside that touch a cell of the inside, the grid's outermost cells left out. */
export function surfaceCells({ cells, shape }: ExteriorMask): number[] {
  const [nx, ny, nz] = shape
  const steps = [-1, 1, -nx, nx, -nx * ny, nx * ny]
  const found: number[] = []
  for (let k = 1; k < nz - 1; k++)
    for (let j = 1; j < ny - 1; j++)
      for (let i = 1; i < nx - 1; i++) {
        const n = i + nx * (j + ny * k)
        if (cells[n] === OUTSIDE && steps.some((step) => cells[n + step] === INSIDE)) found.push(n)
      }
  return found
}

/** The outside of bone for given levels. */
export const exteriorFor = (
  field: CoarseField,
  softGrey: number,
  cortexGrey: number,
  share = LOW_SHARE,
): ExteriorMask =>
  exteriorMask(field, {
    boneGrey: softGrey + share * (cortexGrey - softGrey),
    airGrey: airThreshold(softGrey, cortexGrey),
  })

function toBone(field: CoarseField, softGrey: number, cortexGrey: number, share = LOW_SHARE): Float32Array {
  const bone = marked(field.values, (v) => v >= softGrey + share * (cortexGrey - softGrey))
  return chamferDistanceMm(bone, field.shape, field.cellMm)
}

/** Distance to air, mm; see chamferDistanceMm. */
export function toAirMm(field: CoarseField, softGrey: number, cortexGrey: number): Float32Array {
  const air = airThreshold(softGrey, cortexGrey)
  const marks = marked(field.values, (v) => v < air)
  return chamferDistanceMm(marks, field.shape, field.cellMm)
}

/** A loop, because TypedArray.from with a function takes twenty times as long. */
function marked(values: Float32Array, test: (value: number) => boolean): Uint8Array {
  const marks = new Uint8Array(values.length)
  for (let n = 0; n < values.length; n++) if (test(values[n])) marks[n] = 1
  return marks
}

/** Blurred greys of exterior cells between two distances from bone. */
export function greysAtDistance(
  field: CoarseField,
  { exterior, toBoneMm }: Pick<TissueLevels, 'exterior' | 'toBoneMm'>,
  fromMm: number,
  toMm: number,
): number[] {
  const greys: number[] = []
  for (let n = 0; n < toBoneMm.length; n++) {
    const d = toBoneMm[n]
    if (d >= fromMm && d <= toMm && exterior.cells[n] === OUTSIDE) greys.push(field.values[n])
  }
  return greys
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
function commonGreys(values: readonly number[]): number[] {
  const sorted = Float64Array.from(values).sort()
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
