import type { CalibrationPoint } from './plan.js'

/** A Hounsfield number with half the width of its 95 % interval. */
export interface HuInterval {
  readonly hu: number
  readonly halfWidthHu: number
  /** The grey value lies beyond the calibration's points: a guess that straight lines go on. */
  readonly beyondPoints: boolean
}

/** The line from grey values to Hounsfield units, as far as its points give it. */
export interface GreyCalibration {
  readonly slope: number
  readonly intercept: number
  /** Variances and covariance of slope and intercept. */
  readonly covariance: { readonly slope: number; readonly intercept: number; readonly both: number }
  readonly points: readonly CalibrationPoint[]
  /** The interval is the line's alone, of how sure its points make it: it widens away from them. */
  readonly hu: (grey: number) => HuInterval
}

/**
 * Stands for the SD of a Hounsfield number that is given without one: within one material of a contrast phantom a cone-beam unit scattered by
 * 42 to 45 HU, and its means lay 40 to 130 HU off the nominal ones (Commun Eng 2023, s44172-023-00123-x, table 2).
 */
export const USUAL_HU_SD = 50

/** Half widths of 95 % intervals are so many standard deviations. */
const SDS_IN_95 = 1.96

/**
 * A weighted straight line through points of known density. A point's weight comes from the SDs of its Hounsfield
 * number (USUAL_HU_SD where there is none) and of its grey value turned into Hounsfield units by the slope. Where three
 * points or more miss the line by more than these allow, its variances grow by as much (chi-square per degree of
 * freedom).
 *
 * Cone-beam grey values are not Hounsfield units even so: the same tissue differs from place to place in one scan.
 * @throws RangeError without two different grey values, or when the line does not rise.
 */
export function greyCalibration(points: readonly CalibrationPoint[]): GreyCalibration {
  const problem = calibrationProblem(points)
  if (problem !== null) throw new RangeError(`the points of a grey calibration ${problem}`)
  const line = settledLine(points)
  const { slope, intercept, covariance } = line
  const greys = points.map(({ grey }) => grey)
  const [least, greatest] = [Math.min(...greys), Math.max(...greys)]
  return {
    ...line,
    points,
    hu: (grey) => {
      const variance = covariance.intercept + grey * (2 * covariance.both + grey * covariance.slope)
      return {
        hu: slope * grey + intercept,
        halfWidthHu: SDS_IN_95 * Math.sqrt(Math.max(0, variance)),
        beyondPoints: grey < least || grey > greatest,
      }
    },
  }
}

/** Why points give no calibration, to follow their name in a sentence; null when they do. */
export function calibrationProblem(points: readonly CalibrationPoint[]): string | null {
  if (new Set(points.map(({ grey }) => grey)).size < 2) return 'must hold at least two different grey values'
  const { slope, intercept } = settledLine(points)
  if (slope > 0 && Number.isFinite(slope) && Number.isFinite(intercept)) return null
  return `must make a rising line, the brighter the denser: this one has a slope of ${slope.toPrecision(3)}`
}

type Line = Pick<GreyCalibration, 'slope' | 'intercept' | 'covariance'>

/** The weights hang on the slope where grey values have an SD: it settles in a few turns. */
function settledLine(points: readonly CalibrationPoint[]): Line {
  let line = fitted(points, 1)
  for (let turn = 0; turn < 5; turn++) line = fitted(points, line.slope)
  return line
}

/** Written about the weighted middle of the grey values, where slope and level do not hang together. */
function fitted(points: readonly CalibrationPoint[], slopeBefore: number): Line {
  const weights = points.map((point) => 1 / variance(point, slopeBefore))
  const sum = (value: (point: CalibrationPoint) => number) =>
    points.reduce((total, point, n) => total + (weights[n] as number) * value(point), 0)
  const weight = sum(() => 1)
  const grey = sum((p) => p.grey) / weight
  const hu = sum((p) => p.hu) / weight
  const spread = sum((p) => (p.grey - grey) ** 2)
  const slope = sum((p) => (p.grey - grey) * (p.hu - hu)) / spread
  const freedom = points.length - 2
  const chiSquare = sum((p) => (p.hu - hu - slope * (p.grey - grey)) ** 2)
  const scatter = freedom > 0 ? Math.max(1, chiSquare / freedom) : 1
  const slopeVariance = scatter / spread
  return {
    slope,
    intercept: hu - slope * grey,
    covariance: {
      slope: slopeVariance,
      intercept: scatter / weight + grey * grey * slopeVariance,
      both: -grey * slopeVariance,
    },
  }
}

const variance = ({ greySd = 0, huSd = USUAL_HU_SD }: CalibrationPoint, slope: number): number =>
  huSd ** 2 + (slope * greySd) ** 2
