import { length, type Vec3 } from '@alveometer/core'
import type { ReportEntry } from '../report/index.js'
import { damaged } from './findings.js'
import type { Directions, GivenGeometry } from './header.js'
import { type NrrdAxis, readQuoted, readVectors } from './nrrd-axes.js'
import type { NrrdFields } from './nrrd-fields.js'
import { checkSameSpacing, unitAssumed } from './placement.js'
import { millimetresIn } from './units.js'

/** What an NRRD header says about places: in the words of the file for the decoder, and in LPS mm for us. */
export interface NrrdGeometry {
  readonly given: GivenGeometry
  /** Lines for a clean header, lengths in mm; none when the space is not one of the body. */
  readonly lines: readonly string[]
  readonly report: readonly ReportEntry[]
}

const LAS: Vec3 = [1, -1, 1]

/** Named spaces of the body: the sides of the patient to which x, y and z increase, as signs towards LPS. */
const SPACES: Readonly<Record<string, Vec3>> = {
  'left-posterior-superior': [1, 1, 1],
  lps: [1, 1, 1],
  'right-anterior-superior': [-1, -1, 1],
  ras: [-1, -1, 1],
  'left-anterior-superior': LAS,
  las: LAS,
}

export function nrrdGeometry(
  file: string,
  fields: NrrdFields,
  axes: readonly [NrrdAxis, NrrdAxis, NrrdAxis],
): NrrdGeometry {
  const directions = axes.map((axis) => axis.direction).filter((d) => d !== undefined && d !== null)
  if (directions.length === 3) return fromDirections(file, fields, axes, directions as unknown as Directions)
  const { spacingMm, report } = fromSpacings(file, axes)
  return { given: { steps: null, spacingMm, directions: null, originMm: null }, lines: [], report }
}

function fromDirections(
  file: string,
  fields: NrrdFields,
  axes: readonly NrrdAxis[],
  vectors: Directions,
): NrrdGeometry {
  const report: ReportEntry[] = []
  const space = (fields.get('space') ?? '').toLowerCase()
  const sides = SPACES[space]
  const units = spaceUnits(file, fields, report)
  const inMm = (v: Vec3): Vec3 => [v[0] * units[0], v[1] * units[1], v[2] * units[2]]
  const [x, y, z] = vectors
  const steps: Directions = [inMm(x), inMm(y), inMm(z)]
  const spacingMm: Vec3 = [length(steps[0]), length(steps[1]), length(steps[2])]
  const spacings = axes.map((axis) => (axis.spacing ?? Number.NaN) * (millimetresIn(axis.unit) ?? units[0]))
  if (spacings.every(Number.isFinite)) checkSameSpacing(file, spacingMm, spacings as unknown as Vec3)
  // "pixel" and the like: the vectors are no lengths.
  if (units.some(Number.isNaN)) return { given: NOTHING, lines: [], report }
  if (!sides) return { given: { ...NOTHING, spacingMm }, lines: [], report }
  const toLps = (v: Vec3): Vec3 => [v[0] * sides[0], v[1] * sides[1], v[2] * sides[2]]
  const origin = spaceOrigin(file, fields)
  const originMm = origin && inMm(origin)
  const lps: Directions = [toLps(steps[0]), toLps(steps[1]), toLps(steps[2])]
  const given = { ...NOTHING, steps: lps, originMm: originMm && toLps(originMm) }
  // The decoder's ITK turns this one space the wrong way round (it negates x), so it gets it in LPS.
  const lines =
    sides === LAS
      ? placeLines('left-posterior-superior', lps, given.originMm)
      : placeLines(space, steps, originMm)
  return { given, lines, report }
}

function placeLines(space: string, steps: Directions, origin: Vec3 | null): string[] {
  const write = (v: Vec3) => `(${v.join(',')})`
  return [
    `space: ${space}`,
    `space directions: ${steps.map(write).join(' ')}`,
    `space origin: ${write(origin ?? [0, 0, 0])}`,
  ]
}

const NOTHING: GivenGeometry = { steps: null, spacingMm: null, directions: null, originMm: null }

/** Millimetres in the unit of each axis of the space; NaN for what is no length. */
function spaceUnits(file: string, fields: NrrdFields, report: ReportEntry[]): Vec3 {
  const named = readQuoted(fields.get('space units') ?? '').map(millimetresIn)
  if (named.length === 0 || named.includes(null)) report.push(unitAssumed(file))
  const [x, y, z] = named
  return [x ?? 1, y ?? 1, z ?? 1]
}

function spaceOrigin(file: string, fields: NrrdFields): Vec3 | null {
  const text = fields.get('space origin')
  if (text === undefined) return null
  const [origin, ...more] = readVectors(text) ?? []
  if (!origin || more.length > 0) throw damaged(file, '"space origin" is not a point')
  return origin
}

/** "spacings" says distances, but nothing about the sides of the patient. */
function fromSpacings(file: string, axes: readonly NrrdAxis[]) {
  const report: ReportEntry[] = []
  const units = axes.map((axis) => millimetresIn(axis.unit))
  const known = axes.every((axis, i) => !Number.isNaN(axis.spacing ?? Number.NaN) && !Number.isNaN(units[i]))
  if (!known) return { spacingMm: null, report }
  if (units.includes(null)) report.push(unitAssumed(file))
  const at = (i: number) => (axes[i].spacing ?? Number.NaN) * (units[i] ?? 1)
  const spacingMm: Vec3 = [at(0), at(1), at(2)]
  return { spacingMm, report }
}
