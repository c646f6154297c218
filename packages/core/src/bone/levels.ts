import type { CoarseField } from './coarse.js'
import { chamferDistanceMm } from './distance.js'
import { type ExteriorMask, exteriorMask, OUTSIDE } from './exterior.js'
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
 * Starts with two Otsu cuts (the upper part of the upper part is hard tissue), floods from the outside at half
 * height, takes the commonest grey just outside what it met, and repeats at the low threshold until it settles.
 */
export function tissueLevels(field: CoarseField): TissueLevels {
  const [low, high] = robustRange(field.values)
  const bins = histogram(field.values, low, high, 512)
  const first = otsuThreshold(bins)
  const second = otsuThreshold(bins, Math.max(1, Math.round((first - low) / bins.binWidth)))
  const cortexGrey = percentileBetween(bins, second, high, 0.5)
  const common = commonestBetween(bins, low, second)
  let softGrey = common
  let share = 0.5
  let result = flood(field, softGrey, cortexGrey, share)
  for (let turn = 0; turn < 3; turn++) {
    const near = greysAtDistance(field, result, 0.7, 1.4)
    if (near.length < 50) break
    const before = softGrey
    softGrey = commonest(near)
    const settled = share === LOW_SHARE && Math.abs(softGrey - before) < 0.01 * (cortexGrey - softGrey)
    share = LOW_SHARE
    result = flood(field, softGrey, cortexGrey, share)
    if (settled) break
  }
  return { softGrey, cortexGrey, ...result }
}

/** The flood for given levels. */
export function flood(
  field: CoarseField,
  softGrey: number,
  cortexGrey: number,
  share = LOW_SHARE,
): Pick<TissueLevels, 'exterior' | 'toBoneMm'> {
  const boneGrey = softGrey + share * (cortexGrey - softGrey)
  const exterior = exteriorMask(field, { boneGrey, airGrey: airThreshold(softGrey, cortexGrey) })
  const bone = marked(field.values, (v) => v >= boneGrey)
  return { exterior, toBoneMm: chamferDistanceMm(bone, field.shape, field.cellMm) }
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

function commonest(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort()
  const low = sorted[Math.floor(0.005 * sorted.length)]
  const high = sorted[Math.floor(0.995 * sorted.length)]
  return commonestBetween(histogram(sorted, low, high, 128), low, high)
}
