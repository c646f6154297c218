import { length, normalize, type Vec3 } from '@alveometer/core'
import { block, FindingError, type ReportEntry } from '../report/index.js'
import { damaged } from './findings.js'
import type { Directions, GivenGeometry } from './header.js'
import type { MetaFields } from './meta-image-fields.js'
import { readNumbers } from './numbers.js'
import { stepsOf, unitAssumed } from './placement.js'
import { millimetresIn } from './units.js'

/** The geometry for the decoder, in the words of the file. */
export interface MetaAxes {
  readonly directions: Directions
  readonly offset: Vec3
  readonly spacingMm: Vec3
}

/** What a MetaImage header says about places. */
export function metaGeometry(
  file: string,
  fields: MetaFields,
  dimensions: number,
): { given: GivenGeometry; axes: MetaAxes | null; report: readonly ReportEntry[] } {
  const report: ReportEntry[] = []
  const numbers = (count: number, ...keys: string[]) => {
    const text = fields.get(...keys)
    if (text === undefined) return null
    const values = readNumbers(text)
    if (values?.length !== count) throw damaged(file, `"${keys[0]}" is not ${count} numbers`)
    return values
  }
  // ElementSize is the extent of a detector element or a slice, and says nothing about distances.
  const spacing = numbers(dimensions, 'ElementSpacing')
  const matrix = numbers(dimensions * dimensions, 'TransformMatrix', 'Rotation', 'Orientation')
  const offset = numbers(dimensions, 'Offset', 'Position', 'Origin')
  const unit = millimetresIn(fields.get('DistanceUnits'))
  if (unit === null && spacing) report.push(unitAssumed(file))
  const inMm = (values: readonly number[]): Vec3 => {
    const mmPerUnit = unit ?? 1
    return [values[0] * mmPerUnit, values[1] * mmPerUnit, values[2] * mmPerUnit]
  }
  const spacingMm = spacing && !Number.isNaN(unit ?? 1) ? inMm(spacing) : null
  const originMm = offset && !Number.isNaN(unit ?? 1) ? inMm(offset) : null
  const directions = matrix && directionsOf(file, matrix, dimensions)
  // Lengths of zero or less are judged as what they are, without directions.
  const sound = spacingMm?.every((s) => s > 0) ? spacingMm : null
  const steps = directions && sound ? stepsOf(directions, sound) : null
  const given: GivenGeometry = { steps, spacingMm, directions, originMm }
  const axes = directions && sound ? { directions, offset: originMm ?? ORIGIN, spacingMm: sound } : null
  return { given, axes, report }
}

const ORIGIN: Vec3 = [0, 0, 0]

/** A direction cosine written with four decimals is off by as much. */
const UNIT_TOLERANCE = 1e-3

/** Row n of the matrix is the direction, LPS, of index axis n: MetaIO's table of tags, and what ITK reads. */
function directionsOf(file: string, matrix: readonly number[], dimensions: number): Directions {
  const row = (n: number): Vec3 => [
    matrix[n * dimensions],
    matrix[n * dimensions + 1],
    matrix[n * dimensions + 2],
  ]
  const rows: Directions = [row(0), row(1), row(2)]
  if (!rows.every((v) => Math.abs(length(v) - 1) < UNIT_TOLERANCE)) {
    const message = `${file}: its orientation ("TransformMatrix") is not made of unit directions. Export the volume again.`
    throw new FindingError(block('bad-orientation', message, [file]))
  }
  return [normalize(rows[0]), normalize(rows[1]), normalize(rows[2])]
}
