import { cross } from '@alveometer/core'
import type { GeometryAnswers } from '@alveometer/scan'
import type { PreviewFacts } from '../engine/protocol.js'
import { axisOf, directionOf, oppositeOf, type Side, sideOf } from '../text/sides.js'
import { type LengthLine, lengthUncertainty, lineLength } from './line.js'

/** How a length question is being answered, and with what. */
export interface LengthAnswer {
  readonly how: 'known-length' | 'from-header' | 'typed'
  /** Null until the person has set it. */
  readonly line: LengthLine | null
  /** Length of what the line lies on, mm; NaN until typed. */
  readonly knownMm: number
  /** The distance itself, mm; NaN until typed. */
  readonly typedMm: number
}

export const unanswered: LengthAnswer = {
  how: 'known-length',
  line: null,
  knownMm: Number.NaN,
  typedMm: Number.NaN,
}

/** Which side of the patient the left and the top edge of a slice are, and towards which the slices count up. */
export interface SidesAnswer {
  readonly left: Side | null
  readonly top: Side | null
  readonly up: Side | null
}

export interface Draft {
  readonly pixel: LengthAnswer
  readonly step: LengthAnswer
  readonly sides: SidesAnswer
}

export const emptyDraft: Draft = {
  pixel: unanswered,
  step: unanswered,
  sides: { left: null, top: null, up: null },
}

/** A distance as answered, and how sure: the half width of its 95 % interval where a line was laid, else null. */
export interface Distance {
  readonly mm: number
  readonly uncertaintyMm: number | null
}

/** Null until it is answered. `claimMm`: what the header says and a person may accept. */
export function distanceOf(answer: LengthAnswer, claimMm?: number): Distance | null {
  const { how, line, knownMm, typedMm } = answer
  if (how === 'from-header') return claimMm === undefined ? null : { mm: claimMm, uncertaintyMm: null }
  if (how === 'typed') return typedMm > 0 ? { mm: typedMm, uncertaintyMm: null } : null
  if (line === null || !(knownMm > 0) || !(lineLength(line) > 0)) return null
  const mm = knownMm / lineLength(line)
  return { mm, uncertaintyMm: mm * lengthUncertainty(line) }
}

export const asks = ({ questions }: PreviewFacts, ask: PreviewFacts['questions'][number]['ask']): boolean =>
  questions.some((q) => q.ask === ask)

const claim = ({ questions }: PreviewFacts) => questions.find((q) => q.ask === 'slice-step')?.suggestion?.mm

export const pixelOf = (preview: PreviewFacts, { pixel }: Draft): Distance | null =>
  asks(preview, 'pixel-spacing') ? distanceOf(pixel) : null
export const stepOf = (preview: PreviewFacts, { step }: Draft): Distance | null =>
  asks(preview, 'slice-step') ? distanceOf(step, claim(preview)) : null

/** The sides as they would be: what the file gives, and what was chosen. */
export function sidesOf({ sides, counting }: PreviewFacts, { sides: chosen }: Draft): SidesAnswer {
  if (sides === null) {
    const answered = chosen.left !== null && chosen.top !== null
    return counting !== null && answered ? { ...chosen, up: sideOf(counting) } : chosen
  }
  // They are told when the person has said what the file does not.
  if (chosen.up === null) return { left: null, top: null, up: null }
  return { left: oppositeOf(sideOf(sides.row)), top: oppositeOf(sideOf(sides.column)), up: chosen.up }
}

/** The two sides towards which slices can count up, given the others; none before those are known. */
export function upChoices({ sides }: PreviewFacts, { sides: { left, top } }: Draft): Side[] {
  if (sides !== null) {
    const side = sideOf(cross(sides.row, sides.column))
    return [side, oppositeOf(side)]
  }
  if (left === null || top === null) return []
  const axis = 3 - axisOf(left) - axisOf(top)
  return (['Right', 'Front', 'Head'] as const)
    .filter((s) => axisOf(s) === axis)
    .flatMap((s) => [s, oppositeOf(s)])
}

/** The sides with one of them changed; what contradicts it falls away. */
export function choose(now: SidesAnswer, which: keyof SidesAnswer, side: Side | null): SidesAnswer {
  const next = { ...now, [which]: side }
  const clash = (a: Side | null, b: Side | null): boolean =>
    a !== null && b !== null && axisOf(a) === axisOf(b)
  if (clash(next.left, next.top)) return { ...next, [which === 'left' ? 'top' : 'left']: null, up: null }
  return clash(next.up, next.left) || clash(next.up, next.top) ? { ...next, up: null } : next
}

function orientationOf(preview: PreviewFacts, draft: Draft): GeometryAnswers['orientation'] | null {
  const { left, top, up } = draft.sides
  const known = preview.sides
  if (known !== null) {
    if (up === null) return null
    const normal = cross(known.row, known.column)
    const slice = sideOf(normal) === up ? normal : cross(known.column, known.row)
    return { row: known.row, column: known.column, slice }
  }
  if (left === null || top === null) return null
  const row = directionOf(oppositeOf(left))
  const column = directionOf(oppositeOf(top))
  if (preview.counting !== null) return { row, column, slice: cross(row, column) }
  return up === null ? null : { row, column, slice: directionOf(up) }
}

/** The answers to all that is asked; null while one is missing. */
export function answersOf(preview: PreviewFacts, draft: Draft): GeometryAnswers | null {
  const pixel = pixelOf(preview, draft)
  const step = stepOf(preview, draft)
  const orientation = asks(preview, 'orientation') ? orientationOf(preview, draft) : undefined
  if (asks(preview, 'pixel-spacing') && pixel === null) return null
  if (asks(preview, 'slice-step') && step === null) return null
  if (orientation === null) return null
  return {
    ...(pixel ? { pixelSpacingMm: [pixel.mm, pixel.mm] as const } : {}),
    ...(step ? { sliceStepMm: step.mm } : {}),
    ...(orientation ? { orientation } : {}),
    how: {
      ...(pixel ? { 'pixel-spacing': draft.pixel.how } : {}),
      ...(step ? { 'slice-step': draft.step.how } : {}),
      ...(orientation ? { orientation: 'chosen' as const } : {}),
    },
  }
}

/** The voxel as it would be, mm; null where it is still open. */
export function voxelOf(
  preview: PreviewFacts,
  draft: Draft,
): readonly [number | null, number | null, number | null] {
  const pixel = pixelOf(preview, draft)?.mm ?? null
  const [x, y, z] = preview.aspect
  const inSlice = asks(preview, 'pixel-spacing') ? ([pixel, pixel] as const) : ([x, y] as const)
  return [...inSlice, asks(preview, 'slice-step') ? (stepOf(preview, draft)?.mm ?? null) : z]
}
