import { readFile } from 'node:fs/promises'
import type { Confirmation, GeometryPart, Vec3 } from '@alveometer/core'
import type { GeometryAnswers } from '@alveometer/scan'
import { UsageError } from './command-line.js'

/**
 * What a person confirmed of a scan's geometry, from a JSON file: `pixelSpacingMm` [between rows, between columns],
 * `sliceStepMm`, `orientation` {row, column, slice} and `how` each was confirmed. What has no `how` was typed.
 * @throws UsageError naming the file and the place in it.
 */
export async function readAnswers(path: string): Promise<GeometryAnswers> {
  const { pixelSpacingMm, sliceStepMm, orientation, how, ...unknown } = await openJson(path)
  const wrong = (place: string, problem: string): never => {
    throw new UsageError(`${path}: ${place} ${problem}`)
  }
  const [stranger] = Object.keys(unknown)
  if (stranger !== undefined)
    wrong(stranger, 'is no answer; there are pixelSpacingMm, sliceStepMm, orientation and how')
  const answers = {
    ...(pixelSpacingMm === undefined
      ? {}
      : { pixelSpacingMm: lengths(pixelSpacingMm) ?? wrong('pixelSpacingMm', 'must be two lengths in mm') }),
    ...(sliceStepMm === undefined
      ? {}
      : { sliceStepMm: lengthMm(sliceStepMm) ?? wrong('sliceStepMm', 'must be a length in mm') }),
    ...(orientation === undefined
      ? {}
      : {
          orientation:
            sides(orientation) ??
            wrong('orientation', 'must be {row, column, slice}, each three numbers (LPS)'),
        }),
  }
  const given: GeometryPart[] = PARTS.filter(([, field]) => field in answers).map(([part]) => part)
  if (given.length === 0)
    wrong('the file', 'answers nothing: give pixelSpacingMm, sliceStepMm or orientation')
  const ways =
    how === undefined
      ? {}
      : (waysOf(how) ?? wrong('how', `must name, for ${NAMES}, one of ${WAYS.join(', ')}`))
  return { ...answers, how: Object.fromEntries(given.map((part) => [part, ways[part] ?? 'typed'])) }
}

const PARTS: readonly (readonly [GeometryPart, keyof GeometryAnswers])[] = [
  ['pixel-spacing', 'pixelSpacingMm'],
  ['slice-step', 'sliceStepMm'],
  ['orientation', 'orientation'],
]
const NAMES = PARTS.map(([part]) => part).join(', ')
const WAYS: readonly Confirmation[] = ['known-length', 'typed', 'from-header', 'chosen']

async function openJson(path: string): Promise<Readonly<Record<string, unknown>>> {
  let text: string
  try {
    text = await readFile(path, 'utf8')
  } catch {
    throw new UsageError(`${path}: cannot be read. Check the path and that it may be read.`)
  }
  let document: unknown
  try {
    document = JSON.parse(text)
  } catch (error) {
    throw new UsageError(`${path}: is not JSON (${error instanceof Error ? error.message : error})`)
  }
  return record(document) ?? Promise.reject(new UsageError(`${path}: must hold an object`))
}

const record = (value: unknown): Readonly<Record<string, unknown>> | null =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? { ...value } : null

const lengthMm = (value: unknown): number | null =>
  typeof value === 'number' && Number.isFinite(value) && value > 0 ? value : null

function lengths(value: unknown): readonly [number, number] | null {
  if (!Array.isArray(value) || value.length !== 2) return null
  const [rows, columns] = [lengthMm(value[0]), lengthMm(value[1])]
  return rows === null || columns === null ? null : [rows, columns]
}

function sides(value: unknown): { row: Vec3; column: Vec3; slice: Vec3 } | null {
  const given = record(value)
  const [row, column, slice] = [direction(given?.row), direction(given?.column), direction(given?.slice)]
  return row && column && slice ? { row, column, slice } : null
}

function direction(value: unknown): Vec3 | null {
  if (!Array.isArray(value) || value.length !== 3 || !value.every(Number.isFinite)) return null
  return [value[0], value[1], value[2]]
}

function waysOf(value: unknown): Partial<Record<GeometryPart, Confirmation>> | null {
  const given = record(value)
  if (given === null) return null
  const ways: Partial<Record<GeometryPart, Confirmation>> = {}
  for (const [name, way] of Object.entries(given)) {
    const part = PARTS.find(([known]) => known === name)?.[0]
    const known = WAYS.find((one) => one === way)
    if (part === undefined || known === undefined) return null
    ways[part] = known
  }
  return ways
}
