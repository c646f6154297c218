import { along, dot, length, scale, subtract, type Vec3 } from '@alveometer/core'
import { block, count, mm, nameFiles, type ReportEntry, warn } from '../report/index.js'
import { distancesFrom, fitLine, type PlacedPoint, type SteppedLine } from './line.js'

/** The places of the slices of a stack, `null` when they do not make one. */
export interface Steps {
  readonly line: SteppedLine | null
  /** The place of each slice along the line: 0, 1, 2 ... with numbers left out where slices are missing. */
  readonly places: readonly number[]
  readonly report: readonly ReportEntry[]
}

/** Rounding of positions in files: 1 % of the step, at least 5 micrometres. Below it nothing is said. */
export const toleranceMm = (step: number): number => Math.max(0.01 * step, 0.005)
/** A slice further off its place than this part of a step is not in a regular stack. */
const IRREGULAR = 0.2

/**
 * The step between slices from their sorted positions, and whether every slice stands where the step puts it.
 * Gaps of whole steps are missing slices, warned of; anything else uneven along the stack is refused unless it is
 * small (warned with its size). What slices are off sideways is not judged here.
 */
export function checkSteps(positions: readonly Vec3[], normal: Vec3, files: readonly string[]): Steps {
  const along1d = positions.map((p) => dot(p, normal))
  const gaps = along1d.slice(1).map((p, i) => p - (along1d[i] as number))
  const total = (along1d.at(-1) ?? 0) - (along1d[0] ?? 0)
  // Positions closer than this are one place: far below any slice step, above any rounding.
  const samePlace = Math.min(0.005, total / positions.length / 10)
  const real = gaps.filter((g) => g > samePlace).sort((a, b) => a - b)
  // The lower median: with as many gaps as steps, the smaller is the step.
  const step = real[(real.length - 1) >> 1]
  if (step === undefined) return { line: null, places: [], report: [notAVolume(files)] }

  const faults = [
    ...duplicatePlaces(gaps, samePlace, along1d, files),
    ...irregularGaps(gaps, step, samePlace, along1d, files),
  ]
  if (faults.length > 0) return { line: null, places: [], report: faults }
  const places = placesOf(gaps, step)
  const missing = (places.at(-1) as number) + 1 - places.length
  if (missing > places.length) return { line: null, places, report: [mostlyMissing(places, step, files)] }
  const points = positions.map((point, i) => ({ point, k: places[i] as number }))
  const line = lineThrough(points, step)
  const report = missing > 0 ? [missingSlices(gaps, step, along1d, files, missing)] : []
  const off = points.map(({ point, k }) =>
    Math.abs(dot(subtract(point, along(line.origin, line.step, k)), normal)),
  )
  return { line, places, report: [...report, ...offPlace(off, step, files)] }
}

/** From end to end where that leaves nothing over, so that a clean file keeps its own numbers; fitted otherwise. */
function lineThrough(points: readonly PlacedPoint[], step: number): SteppedLine {
  const first = points[0] as PlacedPoint
  const last = points.at(-1) as PlacedPoint
  const straight = {
    origin: first.point,
    step: scale(subtract(last.point, first.point), 1 / (last.k - first.k)),
  }
  if (Math.max(...distancesFrom(straight, points)) <= toleranceMm(step)) return straight
  return fitLine(points, IRREGULAR * step, toleranceMm(step))
}

function placesOf(gaps: readonly number[], step: number): number[] {
  const places = [0]
  for (const gap of gaps) places.push((places.at(-1) as number) + Math.max(1, Math.round(gap / step)))
  return places
}

function offPlace(off: readonly number[], step: number, files: readonly string[]): ReportEntry[] {
  const largest = off.reduce((a, b) => Math.max(a, b), 0)
  if (largest <= toleranceMm(step)) return []
  const worst = files[off.indexOf(largest)] as string
  const what = `${worst} is ${mm(largest)} from where the step of ${mm(step)} puts it`
  if (largest > IRREGULAR * step) return [irregular(what, [worst])]
  const message = `${what}; lengths across it may be off by that much. Export the series again if that is too much.`
  return [warn('uneven-steps', message, [worst], { largestOffsetMm: largest })]
}

/** One finding, however many pairs: two whole stacks in one series would otherwise give one for every slice. */
function duplicatePlaces(
  gaps: readonly number[],
  samePlace: number,
  places: readonly number[],
  files: readonly string[],
): ReportEntry[] {
  const doubles = gaps.flatMap((gap, i) => (gap > samePlace ? [] : [i]))
  const [first] = doubles
  if (first === undefined) return []
  const pair = nameFiles([files[first] as string, files[first + 1] as string])
  const more = doubles.length > 1 ? `, and ${count(doubles.length - 1, 'place')} more` : ''
  const message = `${pair} are different images at the same place (${mm(places[first] as number)} along the stack${more}). Keep one of them.`
  const all = [...new Set(doubles.flatMap((i) => [files[i] as string, files[i + 1] as string]))]
  return [block('same-position', message, all)]
}

/** Gaps that are neither a step nor whole steps. */
function irregularGaps(
  gaps: readonly number[],
  step: number,
  samePlace: number,
  places: readonly number[],
  files: readonly string[],
): ReportEntry[] {
  return gaps.flatMap((gap, i) => {
    const steps = Math.round(gap / step)
    const off = Math.abs(gap / step - steps)
    const fits = steps === 1 ? off <= 2 * IRREGULAR : steps > 1 && off <= IRREGULAR
    if (gap <= samePlace || fits) return []
    const pair = [files[i] as string, files[i + 1] as string]
    const what = `the step ${between(pair, places, i)} is ${mm(gap)} where others are ${mm(step)}`
    return [irregular(what, pair)]
  })
}

function missingSlices(
  gaps: readonly number[],
  step: number,
  places: readonly number[],
  files: readonly string[],
  missing: number,
): ReportEntry {
  const at = gaps.flatMap((gap, i) => (Math.round(gap / step) > 1 ? [i] : []))
  const first = at[0] as number
  const pair = [files[first] as string, files[first + 1] as string]
  const more = at.length > 1 ? `, and in ${count(at.length - 1, 'other place')}` : ''
  const message =
    `${count(missing, 'slice')} missing ${between(pair, places, first)}${more}: a gap of ${mm(gaps[first] as number)} ` +
    `in steps of ${mm(step)}. There is no data there and nothing is measured across it. Export the whole series again.`
  const named = at.flatMap((i) => [files[i] as string, files[i + 1] as string])
  return warn('slices-missing', message, [...new Set(named)], {
    missingSlices: missing,
    fromMm: places[first] as number,
    toMm: places[first + 1] as number,
  })
}

const between = (pair: readonly string[], places: readonly number[], i: number): string =>
  `between ${pair[0]} and ${pair[1]} (${mm(places[i] as number)} to ${mm(places[i + 1] as number)} along the stack)`

const mostlyMissing = (places: readonly number[], step: number, files: readonly string[]): ReportEntry =>
  irregular(
    `in steps of ${mm(step)} only ${places.length} of ${(places.at(-1) as number) + 1} slices are there`,
    files,
  )

const irregular = (what: string, files: readonly string[]): ReportEntry =>
  block(
    'steps-irregular',
    `Slices are unevenly spaced: ${what}. Export the series again with one step.`,
    files,
  )

export const notAVolume = (files: readonly string[]): ReportEntry =>
  block(
    'not-a-volume',
    files.length === 1
      ? `${files[0]} is a single image, not a volume. Add the other slices of its series.`
      : `All ${files.length} images of the series lie at one place: not a volume. Choose the series of slices instead.`,
    files,
  )

/** How far slices lie beside a line, sideways only, in mm. */
export const sidewaysMm = (line: SteppedLine, points: readonly PlacedPoint[], normal: Vec3): number[] =>
  points.map(({ point, k }) => {
    const off = subtract(point, along(line.origin, line.step, k))
    return length(subtract(off, scale(normal, dot(off, normal))))
  })
