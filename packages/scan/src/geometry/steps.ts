import { dot, scale, subtract, type Vec3 } from '@alveometer/core'
import { block, count, mm, nameFiles, type ReportEntry, warn } from '../report/index.js'
import { distancesFrom, fitLine, medianStep } from './line.js'

export interface Steps {
  readonly origin: Vec3 | null
  readonly step: Vec3 | null
  readonly report: readonly ReportEntry[]
}

/** Rounding of positions in files: 1 % of the step, at least 5 micrometres. Below it nothing is said. */
const toleranceMm = (step: number) => Math.max(0.01 * step, 0.005)
/** A slice further off its place than this part of a step is not in a regular stack. */
const IRREGULAR = 0.2

/**
 * The step between slices from their sorted positions, and whether every slice stands where the step puts it.
 * Gaps of whole steps are missing slices; anything else uneven is refused, unless it is small (warned with its size).
 */
export function checkSteps(positions: readonly Vec3[], normal: Vec3, files: readonly string[]): Steps {
  const first = positions[0]
  const last = positions.at(-1)
  if (!first || !last || positions.length < 2) return refused(notAVolume(files))
  const places = positions.map((p) => dot(p, normal))
  const gaps = places.slice(1).map((p, i) => p - (places[i] as number))
  const total = (places.at(-1) as number) - (places[0] as number)
  // Positions closer than this are one place: far below any slice step, above any rounding.
  const samePlace = Math.min(0.005, total / positions.length / 10)
  const real = gaps.filter((g) => g > samePlace).sort((a, b) => a - b)
  // The lower median: with as many gaps as steps, the smaller is the step.
  const step = real[(real.length - 1) >> 1]
  if (step === undefined) return refused(notAVolume(files))

  const report = [
    ...duplicatePlaces(gaps, samePlace, places, files),
    ...gapFaults(gaps, step, samePlace, places, files),
  ]
  // The direction of a faulty stack is still of interest: a tilt is named together with the gap.
  if (report.length > 0) return { origin: first, step: medianStep(positions), report }
  const straight = { origin: first, step: scale(subtract(last, first), 1 / (positions.length - 1)) }
  if (Math.max(...distancesFrom(straight, positions)) <= toleranceMm(step)) return { ...straight, report }
  const line = fitLine(positions, IRREGULAR * step, toleranceMm(step))
  const off = distancesFrom(line, positions)
  const largest = Math.max(...off)
  if (largest <= toleranceMm(step)) return { ...line, report }
  const worst = files[off.indexOf(largest)] as string
  const what = `${worst} is ${mm(largest)} from where the step of ${mm(step)} puts it`
  if (largest > IRREGULAR * step) return { ...line, report: [irregular(what, [worst])] }
  return {
    ...line,
    report: [warn('uneven-steps', `${what}; lengths across it may be off by that much.`, [worst])],
  }
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

function gapFaults(
  gaps: readonly number[],
  step: number,
  samePlace: number,
  places: readonly number[],
  files: readonly string[],
): ReportEntry[] {
  return gaps.flatMap((gap, i) => {
    const pair = [files[i] as string, files[i + 1] as string]
    const steps = Math.round(gap / step)
    const off = Math.abs(gap / step - steps)
    if (gap <= samePlace || (steps === 1 && off <= 2 * IRREGULAR)) return []
    const where = `between ${pair[0]} and ${pair[1]} (${mm(places[i] as number)} to ${mm(places[i + 1] as number)} along the stack)`
    if (steps < 2 || off > IRREGULAR)
      return [irregular(`the step ${where} is ${mm(gap)} where others are ${mm(step)}`, pair)]
    const message = `${count(steps - 1, 'slice')} missing ${where}: a gap of ${mm(gap)} in steps of ${mm(step)}. Export the whole series again.`
    return [block('slices-missing', message, pair)]
  })
}

const irregular = (what: string, files: readonly string[]): ReportEntry =>
  block(
    'steps-irregular',
    `Slices are unevenly spaced: ${what}. Export the series again with one step.`,
    files,
  )

const notAVolume = (files: readonly string[]): ReportEntry =>
  block(
    'not-a-volume',
    files.length === 1
      ? `${files[0]} is a single image, not a volume. Add the other slices of its series.`
      : `All ${files.length} images of the series lie at one place: not a volume. Choose the series of slices instead.`,
    files,
  )

const refused = (entry: ReportEntry): Steps => ({ origin: null, step: null, report: [entry] })
