import {
  add,
  angleDeg,
  type ConfirmedGeometry,
  cross,
  dot,
  type GeometryPart,
  length,
  normalize,
  scale,
  subtract,
  type Vec3,
} from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { block, type ReportEntry } from '../report/index.js'
import { isPlausible } from './presence.js'

/** A question that has to be answered before anything is measured. */
export interface OpenQuestion {
  readonly ask: GeometryPart
  /** What the file claims in an attribute that is no geometry; to be confirmed by a known length, never used alone. */
  readonly suggestion?: { readonly mm: number; readonly from: string }
}

/** What a person confirmed; only what the file lacks is taken from it. */
export type GeometryAnswers = Partial<ConfirmedGeometry>

/** The questions of a stack that lacks parts of its geometry in every slice; none where only some slices lack them. */
export function openQuestions(headers: readonly SliceHeader[]): OpenQuestion[] {
  const questions: OpenQuestion[] = []
  const none = (has: (h: SliceHeader) => unknown) => headers.length > 1 && headers.every((h) => !has(h))
  if (none((h) => h.pixelSpacingMm)) questions.push({ ask: 'pixel-spacing' })
  const noPlaces = none((h) => h.position) && inKnownOrder(headers) !== null
  if (noPlaces) {
    const claimed = headers[0]?.claimedStepMm
    const suggestion = claimed ? { suggestion: { mm: claimed.mm, from: claimed.attribute } } : {}
    questions.push({ ask: 'slice-step', ...suggestion })
  }
  // Without positions it is open to which side the slices count up.
  if (noPlaces || none((h) => h.rowDirection)) questions.push({ ask: 'orientation' })
  return questions
}

export interface Answered {
  readonly headers: readonly SliceHeader[]
  /** What was taken from the answers; null when nothing. */
  readonly confirmed: ConfirmedGeometry | null
  readonly report: readonly ReportEntry[]
}

/**
 * The slices with the gaps in their geometry filled from what was confirmed. A block where the answers cannot be used
 * or contradict what the file does say.
 */
export function answered(headers: readonly SliceHeader[], answers: GeometryAnswers): Answered {
  const used = answersTo(
    openQuestions(headers).map((q) => q.ask),
    answers,
  )
  const problem = problemOf(used, knownSides(headers))
  if (problem !== null) return { headers, confirmed: null, report: [block('answers-contradict', problem)] }
  if (!used.pixelSpacingMm && used.sliceStepMm === undefined && !used.orientation)
    return { headers, confirmed: null, report: [] }
  const sides = headers.map((h) => ({
    ...h,
    pixelSpacingMm: h.pixelSpacingMm ?? used.pixelSpacingMm ?? null,
    rowDirection: h.rowDirection ?? used.orientation?.row ?? null,
    columnDirection: h.columnDirection ?? used.orientation?.column ?? null,
  }))
  return { headers: placed(sides, used), confirmed: used, report: [] }
}

/** Of the answers those to what was asked; nothing else is ever taken from them. */
export function answersTo(asked: readonly GeometryPart[], answers: GeometryAnswers): ConfirmedGeometry {
  const { pixelSpacingMm, sliceStepMm, orientation, how = {} } = answers
  const is = (part: GeometryPart) => asked.includes(part)
  return {
    ...(is('pixel-spacing') && pixelSpacingMm ? { pixelSpacingMm } : {}),
    ...(is('slice-step') && sliceStepMm !== undefined ? { sliceStepMm } : {}),
    ...(is('orientation') && orientation ? { orientation } : {}),
    how: Object.fromEntries(Object.entries(how).filter(([part]) => is(part as GeometryPart))),
  }
}

/** Slices without positions stand in their order, the first where the file puts it, or the stack round the origin. */
function placed(
  headers: readonly SliceHeader[],
  { sliceStepMm, orientation }: GeometryAnswers,
): readonly SliceHeader[] {
  const order = inKnownOrder(headers)
  const [first] = headers
  if (sliceStepMm === undefined || !orientation || !order || !first?.rowDirection || !first.columnDirection)
    return headers
  const normal = normalize(cross(first.rowDirection, first.columnDirection))
  const up = scale(normal, Math.sign(dot(normal, orientation.slice)) * sliceStepMm)
  const origin = order[0]?.filePosition ?? centred(first, up, order.length)
  return order.map((h, k) => ({ ...h, position: add(origin, scale(up, k)) }))
}

function centred(
  { layout, pixelSpacingMm, rowDirection, columnDirection }: SliceHeader,
  up: Vec3,
  slices: number,
): Vec3 {
  const [rowSpacing, columnSpacing] = pixelSpacingMm ?? [1, 1]
  const half = add(
    scale(rowDirection as Vec3, ((layout.columns - 1) / 2) * columnSpacing),
    scale(columnDirection as Vec3, ((layout.rows - 1) / 2) * rowSpacing),
  )
  return subtract(scale(up, -(slices - 1) / 2), half)
}

/** By frame number in one file, by Instance Number in many; null when neither tells. */
function inKnownOrder(headers: readonly SliceHeader[]): readonly SliceHeader[] | null {
  const oneFile = headers.every((h) => h.source === headers[0]?.source)
  const key = (h: SliceHeader) => (oneFile ? h.frame : h.instanceNumber)
  const keys = headers.map(key)
  if (keys.includes(null) || new Set(keys).size < headers.length) return null
  return [...headers].sort((a, b) => (key(a) ?? 0) - (key(b) ?? 0))
}

/** The directions that a file does give although its orientation is open. */
export interface KnownSides {
  /** In which the column number and the row number increase. */
  readonly row: Vec3 | null
  readonly column: Vec3 | null
  /** In which the slices count up. */
  readonly slice: Vec3 | null
}

/** Of slices in the order they are given; where their positions tell, from the first to the last of them. */
export function knownSides(headers: readonly SliceHeader[]): KnownSides {
  const positions = headers.flatMap((h) => (h.position ? [h.position] : []))
  const [first, last] = [positions[0], positions.at(-1)]
  const way = first && last ? subtract(last, first) : ([0, 0, 0] as const)
  const { rowDirection: row = null, columnDirection: column = null } = headers[0] ?? {}
  return { row, column, slice: length(way) > 0 ? normalize(way) : null }
}

/** Sides are chosen from six; one that lies further than this from what the file says is another side. */
const OTHER_SIDE_DEG = 45

/** Why answers cannot be used, in a sentence; null when they can. */
export function problemOf(
  { pixelSpacingMm, sliceStepMm, orientation }: GeometryAnswers,
  known: KnownSides,
): string | null {
  if (pixelSpacingMm && !pixelSpacingMm.every(isPlausible))
    return `A pixel spacing of ${pixelSpacingMm.join(' x ')} mm cannot be right. Measure the known length again.`
  if (sliceStepMm !== undefined && !isPlausible(sliceStepMm))
    return `A slice distance of ${sliceStepMm} mm cannot be right. Measure the known length again.`
  if (!orientation) return null
  const { row, column, slice } = orientation
  const unit = [row, column, slice].every((v) => Math.abs(length(v) - 1) < 1e-3)
  const square = [dot(row, column), dot(column, slice), dot(slice, row)].every((d) => Math.abs(d) < 1e-3)
  if (!unit || !square)
    return 'The confirmed sides are not three directions at right angles. Choose them again.'
  if (known.slice) {
    // Positions put the slices in order by themselves; only the axis can be wrong.
    const along = angleDeg(known.slice, slice)
    if (Math.min(along, 180 - along) > OTHER_SIDE_DEG)
      return 'The confirmed sides contradict the positions of the slices in the file. Choose them again.'
  }
  const otherSide = (given: Vec3 | null, chosen: Vec3) => given && angleDeg(given, chosen) > OTHER_SIDE_DEG
  return otherSide(known.row, row) || otherSide(known.column, column)
    ? 'The confirmed sides contradict the orientation in the file. Choose them again.'
    : null
}
