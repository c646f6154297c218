import { finite, type Json, record, shown, string } from './fields.js'
import { calibrationProblem } from './grey-calibration.js'
import type { CalibrationPoint } from './plan.js'
import { PlanError } from './plan-error.js'

const PATH = 'calibration.points'

/** The calibration of a plan: points of known density, a rising line through them. */
export function checkCalibration(calibration: Json): void {
  const { points } = calibration
  if (!Array.isArray(points) || points.length < 2)
    throw new PlanError(PATH, `must be a list of at least two points, got ${shown(points)}`)
  points.forEach((point: unknown, n: number) => {
    checkPoint(record(point, `${PATH}[${n}]`), `${PATH}[${n}]`)
  })
  const problem = calibrationProblem(points as CalibrationPoint[])
  if (problem !== null) throw new PlanError(PATH, problem)
}

function checkPoint({ what, grey, greySd, hu, huSd }: Json, path: string): void {
  string(what, `${path}.what`)
  finite(grey, `${path}.grey`)
  finite(hu, `${path}.hu`)
  if (greySd !== undefined) spread(greySd, `${path}.greySd`)
  if (huSd !== undefined) spread(huSd, `${path}.huSd`)
}

function spread(value: unknown, path: string): void {
  const sd = finite(value, path)
  if (sd <= 0) throw new PlanError(path, `must be more than 0, got ${sd}: leave it out when it is not known`)
}
