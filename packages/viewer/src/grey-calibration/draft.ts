import type { CalibrationPoint, Plan, PlannedCalibration } from '@alveometer/core'
import { greyCalibration } from '@alveometer/core'
import { type NumberReading, readNumber } from './read-number.js'

export const fields = ['grey', 'greySd', 'hu', 'huSd'] as const
export type Field = (typeof fields)[number]

/** A point as it is being typed. */
export interface DraftPoint extends Readonly<Record<Field | 'what', string>> {
  /** The point it came from, for what else that holds. */
  readonly from?: CalibrationPoint
}

export const emptyPoint: DraftPoint = { what: '', grey: '', greySd: '', hu: '', huSd: '' }

export const names: Readonly<Record<Field, string>> = {
  grey: 'grey value',
  greySd: 'spread of the grey value',
  hu: 'HU',
  huSd: 'spread of the HU',
}

/** What the typed rows come to: a calibration, or what stands in its way and where. */
export type DraftReading =
  | { readonly calibration: PlannedCalibration; readonly problem: null }
  | { readonly calibration: null; readonly problem: DraftProblem }

export interface DraftProblem {
  readonly text: string
  /** The field to put right; null when it is the points together. */
  readonly at: { readonly row: number; readonly field: Field } | null
}

export const draftOf = (calibration: Plan['calibration']): DraftPoint[] =>
  (calibration?.points ?? []).map((point) => ({
    what: point.what,
    grey: typed(point.grey),
    greySd: typed(point.greySd),
    hu: typed(point.hu),
    huSd: typed(point.huSd),
    from: point,
  }))

/** Whether two calibrations are told by the same rows. */
export const sameRows = (a: Plan['calibration'], b: Plan['calibration']): boolean => {
  const told = (calibration: Plan['calibration']) =>
    draftOf(calibration).map(({ what, grey, greySd, hu, huSd }) => [what, grey, greySd, hu, huSd])
  return JSON.stringify(told(a)) === JSON.stringify(told(b))
}

/** A number as it would be typed. */
export const typed = (value: number | undefined): string =>
  value === undefined ? '' : String(Number(value.toFixed(2)))

const isEmpty = (row: DraftPoint): boolean =>
  row.what.trim() === '' && fields.every((field) => row[field].trim() === '')

/** Empty rows do not count; `before` is what the plan holds, for what else it holds. */
export function readDraft(rows: readonly DraftPoint[], before: Plan['calibration']): DraftReading {
  const points: CalibrationPoint[] = []
  for (const [n, row] of rows.entries()) {
    if (isEmpty(row)) continue
    const point = readPoint(row, n)
    if ('text' in point) return { calibration: null, problem: point }
    points.push(point)
  }
  if (points.length < 2)
    return { calibration: null, problem: { text: 'Two points are needed at least.', at: null } }
  try {
    greyCalibration(points)
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause
    return { calibration: null, problem: { text: `${cause.message.replace(/^t/, 'T')}.`, at: null } }
  }
  return { calibration: { ...before, points }, problem: null }
}

function readPoint(row: DraftPoint, n: number): CalibrationPoint | DraftProblem {
  const read = (field: Field): NumberReading => readNumber(row[field])
  const wrong = (field: Field, why: string): DraftProblem => ({
    text: `${row.what.trim() || `Point ${n + 1}`}: the ${names[field]} ${why}.`,
    at: { row: n, field },
  })
  const numbers: Partial<Record<Field, number>> = {}
  for (const field of fields) {
    const { value, problem } = read(field)
    const held = row.from?.[field]
    const spread = field === 'greySd' || field === 'huSd'
    if (problem !== null) return wrong(field, problem)
    if (value === null && !spread) return wrong(field, 'is missing')
    if (value !== null && spread && value <= 0) return wrong(field, 'must be more than 0, or left empty')
    // Two digits are shown, all are kept.
    if (value !== null) numbers[field] = held !== undefined && row[field] === typed(held) ? held : value
  }
  const { grey = 0, hu = 0, greySd, huSd } = numbers
  const { greySd: _, huSd: __, ...rest } = row.from ?? {}
  return {
    ...rest,
    what: row.what.trim(),
    grey,
    ...(greySd === undefined ? {} : { greySd }),
    hu,
    ...(huSd === undefined ? {} : { huSd }),
  }
}
