import { type CalibrationPoint, type GreyCalibration, USUAL_HU_SD } from '../plan/index.js'

/** The calibration in force: HU = slope x grey + intercept. */
export interface AppliedCalibration {
  readonly slope: number
  readonly intercept: number
  readonly points: readonly CalibrationPoint[]
  /** How it came about, in words, with what it does not say. */
  readonly text: string
}

export const appliedCalibration = ({ slope, intercept, points }: GreyCalibration): AppliedCalibration => ({
  slope,
  intercept,
  points,
  text: [lineText(slope, intercept, points), ...spreadText(points), REMAINS].join(' '),
})

const REMAINS =
  'Intervals are those of this line, wider away from its points. They leave out that the same tissue has other grey values in other places of a cone-beam scan: estimated HU.'

function lineText(slope: number, intercept: number, points: readonly CalibrationPoint[]): string {
  const sign = intercept < 0 ? '\u2212' : '+'
  const named = points.map(
    ({ what, grey, hu }) => `${what === '' ? 'point' : what} (grey ${whole(grey)} is ${whole(hu)} HU)`,
  )
  return `HU = ${slope.toPrecision(4)} \u00d7 grey ${sign} ${whole(Math.abs(intercept))}, a straight line through ${points.length} points set in the plan: ${named.join(', ')}.`
}

function spreadText(points: readonly CalibrationPoint[]): string[] {
  const without = points.filter(({ huSd }) => huSd === undefined).length
  if (without === 0) return []
  const whose = without === points.length ? 'Each HU' : `Each of the ${without} HU given without a spread`
  return [
    `${whose} counts with an SD of ${USUAL_HU_SD} HU, about the scatter of a contrast phantom on a cone-beam unit (Commun Eng 2023, s44172-023-00123-x, table 2).`,
  ]
}

const whole = (value: number): string => value.toFixed(0).replace('-', '\u2212')
