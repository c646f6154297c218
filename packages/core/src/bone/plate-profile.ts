import { fitPlate, type PlateFit, type PlateModel, type PlatePrior } from './edge-fit.js'
import { quickCdf } from './normal.js'
import type { DiscProfile } from './profile.js'

/** What is known of the grey round a place before its profile is fitted. */
export interface PlateSetting {
  readonly softGrey: number
  readonly cortexGrey: number
  /** Sigma of the blur as sampled: point spread and sampler together, mm. */
  readonly sigmaMm: number
  /** SD of the noise of a profile's samples. */
  readonly noiseSd: number
}

/** A profile's fitted plate and the weights that its samples had. */
export interface FittedPlate {
  readonly plate: PlateFit
  readonly weights: Float64Array
  readonly prior: PlatePrior
}

/** Spreads of what is believed, as shares of the contrast from soft tissue to cortex. */
const CORTEX_SPREAD = 0.06
const MARROW_SHARE = 0.24
const MARROW_SPREAD = 0.14
const OUTSIDE_SPREAD = 0.07
/** Marrow is uneven by so much; see marrowTexture. */
const TEXTURE_SHARE = 0.1
/** Samples this far behind the inner face tell nothing about the plate. */
const BEHIND_MM = 1
const LEAST_SAMPLES = 18
/** A start whose first fit is less likely than the best by so much (natural logarithm) is not followed further. */
const HOPELESS = 10

/** Positions of a profile, mm: how far in and out it is fitted, and how far out it is looked at. */
export const FIT_FROM_MM = -3
export const FIT_TO_MM = 1.4
export const LOOK_TO_MM = 2.4

/** SD of the texture of marrow. */
export const marrowTexture = ({ softGrey, cortexGrey }: PlateSetting): number =>
  TEXTURE_SHARE * (cortexGrey - softGrey)

export interface PlateGuess {
  /** Starting models; the fit of the greatest likelihood wins. */
  readonly starts: readonly (number | PlateModel)[]
  /** What the neighbours say of the thickness. */
  readonly thicknessMm?: { readonly value: number; readonly sd: number }
}

/**
 * The plate behind a place of the outer surface from a disc profile along its normal; null where too little of the
 * profile holds data. Samples in marrow count less, by its texture; those beyond a step to air, beyond another rise and
 * deep behind the plate do not count.
 */
export function fitProfile(
  profile: DiscProfile,
  setting: PlateSetting,
  { starts, thicknessMm }: PlateGuess,
): FittedPlate | null {
  const usable = usableSamples(profile, setting)
  if (usable === null) return null
  const prior = priorOf(setting, thicknessMm)
  let best: (FittedPlate & { readonly score: number }) | null = null
  for (const start of starts) {
    const thickness = typeof start === 'number' ? start : start.thicknessMm
    const outer = typeof start === 'number' ? 0 : start.outerMm
    let weights = weightsFor(profile, usable, setting, outer - thickness)
    const args = [profile.positionsMm, profile.greys] as const
    const first = fitPlate(...args, weights, setting.noiseSd, prior, [start])
    if (best !== null && first.cost + sharpness(weights, usable) > best.score + HOPELESS) continue
    weights = weightsFor(profile, usable, setting, first.outerMm - first.thicknessMm)
    const plate = fitPlate(...args, weights, setting.noiseSd, prior, [first])
    const score = plate.cost + sharpness(weights, usable)
    if (best === null || score < best.score) best = { plate, weights, prior, score }
  }
  return best
}

function priorOf(
  { softGrey, cortexGrey, sigmaMm }: PlateSetting,
  thicknessMm: PlateGuess['thicknessMm'],
): PlatePrior {
  const contrast = cortexGrey - softGrey
  const nothing = Number.POSITIVE_INFINITY
  return {
    outerMm: { value: 0, sd: nothing },
    thicknessMm: thicknessMm ?? { value: 1, sd: nothing },
    innerGrey: { value: softGrey + MARROW_SHARE * contrast, sd: MARROW_SPREAD * contrast },
    outsideGrey: { value: softGrey, sd: OUTSIDE_SPREAD * contrast },
    cortexGrey: { value: cortexGrey, sd: CORTEX_SPREAD * contrast },
    sigmaMm: { value: sigmaMm, sd: 0 },
  }
}

/**
 * Weights by the variance a sample has beside the noise: marrow is uneven, the more so the deeper behind the inner face.
 */
function weightsFor(
  { positionsMm }: DiscProfile,
  usable: Uint8Array,
  setting: PlateSetting,
  innerMm: number,
): Float64Array {
  const weights = new Float64Array(usable.length)
  const ratio = marrowTexture(setting) / setting.noiseSd
  for (let n = 0; n < weights.length; n++) {
    const x = positionsMm[n] - innerMm
    if (usable[n] === 0 || x < -BEHIND_MM) continue
    const texture = ratio * (1 - quickCdf(x / setting.sigmaMm))
    weights[n] = 1 / (1 + texture * texture)
  }
  return weights
}

/**
 * What the likelihood of a fit loses by the spread it allows its samples: without it, the explanation that takes most of
 * the profile for marrow would always win. A sample left out counts like one of marrow that fits as it should.
 */
function sharpness(weights: Float64Array, usable: Uint8Array): number {
  let least = 1
  for (let n = 0; n < weights.length; n++) if (weights[n] > 0 && weights[n] < least) least = weights[n]
  let sum = 0
  for (let n = 0; n < weights.length; n++) {
    if (usable[n] === 0) continue
    sum += weights[n] > 0 ? -0.5 * Math.log(weights[n]) : 0.5 - 0.5 * Math.log(least)
  }
  return sum
}

/** Grey falling this share of the contrast below soft tissue: the step from gum to air. */
const AIR_STEP_SHARE = 0.14
/** Grey rising this share of the contrast from its least outside: other bone, a tooth. */
const RISE_SHARE = 0.12
const LEAST_OUTSIDE_MM = 0.3

/** 1 for the samples of a profile that show this plate and soft tissue outside it and nothing else; null for too few. */
function usableSamples(
  { positionsMm, greys }: DiscProfile,
  { softGrey, cortexGrey, sigmaMm }: PlateSetting,
): Uint8Array | null {
  const contrast = cortexGrey - softGrey
  const airGrey = softGrey - AIR_STEP_SHARE * contrast
  let endMm = FIT_TO_MM
  let least = Number.POSITIVE_INFINITY
  let leastAtMm = 0
  for (let n = 1; n < greys.length - 1; n++) {
    const x = positionsMm[n]
    if (x < 0) continue
    const smooth = (greys[n - 1] + 2 * greys[n] + greys[n + 1]) / 4
    if (Number.isNaN(smooth)) {
      endMm = Math.min(endMm, x)
      break
    }
    if (smooth < airGrey) {
      endMm = Math.min(endMm, x - 2.2 * sigmaMm)
      break
    }
    if (smooth < least) {
      least = smooth
      leastAtMm = x
    } else if (smooth > least + RISE_SHARE * contrast) {
      endMm = Math.min(endMm, leastAtMm)
      break
    }
  }
  endMm = Math.max(endMm, LEAST_OUTSIDE_MM)
  let count = 0
  const usable = new Uint8Array(greys.length)
  // Towards the inside nothing is read beyond a sample without data.
  for (let n = greys.length - 1; n >= 0; n--) {
    if (positionsMm[n] > endMm + 1e-9) continue
    if (Number.isNaN(greys[n])) break
    usable[n] = 1
    count++
  }
  return count < LEAST_SAMPLES ? null : usable
}
