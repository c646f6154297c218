import { toothDimensions } from '@alveometer/core'
import type { Random } from '@alveometer/phantom'

/** Mean and standard deviation. */
export interface Spread {
  readonly mean: number
  readonly sd: number
}

export const TEETH = ['11', '12', '13'] as const
export type StudyTooth = (typeof TEETH)[number]

/**
 * Crown-root (collum) angle, degrees: positive where the root's axis, carried coronally, runs facial of the crown's
 * long axis (the sign from memory of the orthodontic use: it is the large one of incisors that are bent palatally).
 * Central and lateral: mean of both sides of 30 persons with one impacted canine, 1.39 +- 7.16 and 2.33 +- 5.86,
 * 3.09 +- 6.26 and 5.24 +- 5.28 ("Evaluation of collum angle of maxillary incisors on impacted vs non impacted canine
 * side", cone-beam study); the two variances averaged. Canine: no figure at hand; 0 with the spread of the incisors is
 * our own choice.
 */
export const COLLUM_DEG: Readonly<Record<StudyTooth, Spread>> = {
  '11': pooled({ mean: 1.39, sd: 7.16 }, { mean: 2.33, sd: 5.86 }),
  '12': pooled({ mean: 3.09, sd: 6.26 }, { mean: 5.24, sd: 5.28 }),
  '13': { mean: 0, sd: 6 },
}

/**
 * Angle between the root's axis and that of the alveolar process in the sagittal plane, degrees: the process leans
 * further facially at its coronal end. Means 15 (central) and 19 (lateral): BMC Oral Health 2021 21:494, 400 scans.
 * Canine: 12.1, the mean over the upper teeth of dos Santos 2019 (J Oral Maxillofac Res, 1 463 teeth), none for canines
 * alone being at hand. SD: from the counts of the first study, 9 teeth below 0 and 125 of 0 to 10 degrees among 679.
 */
const PROCESS_SD_DEG = sdFromCounts({ below0: 9, from0to10: 125, all: 679 })
export const PROCESS_DEG: Readonly<Record<StudyTooth, Spread>> = {
  '11': { mean: 15, sd: PROCESS_SD_DEG },
  '12': { mean: 19, sd: PROCESS_SD_DEG },
  '13': { mean: 12.1, sd: PROCESS_SD_DEG },
}

/**
 * Bone facial and palatal of the root, mm. Lau 2011, J Oral Maxillofac Surg 69:142, 170 central incisors; taken for
 * laterals and canines too. The middle of the process by these figures makes 15.5 degrees with the root's axis.
 */
export const BONE_MM = {
  facialMid: { mean: 0.9, sd: 0.4 },
  palatalMid: { mean: 3.76, sd: 1.37 },
  facialApex: { mean: 2.04, sd: 1.01 },
} as const satisfies Readonly<Record<string, Spread>>

/** Platform below the planned margin, mm, evenly spread. 3 to 4: common practice. */
export const PLATFORM_DEPTH_MM = [3, 4] as const

/** One tooth and the bone about it, in the sagittal plane. */
export interface Anatomy {
  readonly collumDeg: number
  readonly processDeg: number
  readonly facialMidMm: number
  readonly palatalMidMm: number
  readonly facialApexMm: number
  readonly platformDepthMm: number
  readonly rootLengthMm: number
  /** Orofacial half width of the root at the cervical line; it narrows evenly to nothing at the apex (own simplification). */
  readonly rootHalfMm: number
}

/** Everything drawn independently of everything else; bone is not thinner than nothing. */
export function drawAnatomy(tooth: StudyTooth, random: Random, angles: StudyTooth = tooth): Anatomy {
  const normal = ({ mean, sd }: Spread) => mean + sd * random.normal()
  const { rootLengthMm, cervicalLlMm } = toothDimensions(tooth)
  const [shallow, deep] = PLATFORM_DEPTH_MM
  return {
    collumDeg: normal(COLLUM_DEG[angles]),
    processDeg: normal(PROCESS_DEG[angles]),
    facialMidMm: Math.max(0, normal(BONE_MM.facialMid)),
    palatalMidMm: Math.max(0, normal(BONE_MM.palatalMid)),
    facialApexMm: Math.max(0, normal(BONE_MM.facialApex)),
    platformDepthMm: shallow + (deep - shallow) * random.uniform(),
    rootLengthMm,
    rootHalfMm: cervicalLlMm / 2,
  }
}

function pooled(a: Spread, b: Spread): Spread {
  return { mean: (a.mean + b.mean) / 2, sd: Math.sqrt((a.sd ** 2 + b.sd ** 2) / 2) }
}

/** The SD of the normal distribution that has these shares below 0 and below 10. */
function sdFromCounts(counts: { below0: number; from0to10: number; all: number }): number {
  const atZero = standardQuantile(counts.below0 / counts.all)
  const atTen = standardQuantile((counts.below0 + counts.from0to10) / counts.all)
  return 10 / (atTen - atZero)
}

/** Where the standard normal distribution has this share below it: bisection on its integral (Simpson's rule). */
function standardQuantile(share: number): number {
  const below = (x: number): number => {
    const steps = 400
    const h = x / steps
    let sum = 0
    for (let i = 0; i <= steps; i++)
      sum += (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * Math.exp(-((i * h) ** 2) / 2)
    return 0.5 + (sum * h) / 3 / Math.sqrt(2 * Math.PI)
  }
  let [low, high] = [-6, 6]
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2
    if (below(middle) < share) low = middle
    else high = middle
  }
  return (low + high) / 2
}
