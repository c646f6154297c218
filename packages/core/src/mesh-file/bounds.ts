import { MeshError } from './mesh-error.js'

/** A scan of a whole jaw stays below a million triangles; beyond this much a file is not read. Own choice. */
export const MOST_TRIANGLES = 5_000_000
export const MOST_VERTICES = 3 * MOST_TRIANGLES

/** In whatever unit, no part of a mouth lies further from the origin: such a number is damage. Own choice. */
const FURTHEST = 1e9

/** Nobody writes more digits; matching a pattern against a longer word would take its time. Own choice. */
const LONGEST_NUMBER = 100
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i
const NOT_FINITE = /^[+-]?(nan|inf|infinity|1\.#.*)(\(.*\))?$/i

/**
 * A coordinate from its text: a plain decimal number, whatever the language of the machine that wrote it.
 * `place`: where it stands in the file, for the error.
 * @throws MeshError
 */
export function parseCoordinate(word: string | undefined, fileName: string, place: string): number {
  if (word !== undefined && word.length < LONGEST_NUMBER && NUMBER.test(word))
    return checkCoordinate(Number(word), fileName, place)
  if (word === undefined)
    throw new MeshError(
      fileName,
      `${place}: a coordinate is missing, the file may be cut short: export it again`,
    )
  const shown = word.length > 40 ? `${word.slice(0, 40)}...` : word
  if (/^[+-]?\d+,\d/.test(word))
    throw new MeshError(
      fileName,
      `${place}: "${shown}" has a comma for its decimal point: export it again with points (in English)`,
    )
  if (NOT_FINITE.test(shown)) throw notFinite(fileName, place, shown)
  throw new MeshError(fileName, `${place}: "${shown}" is not a number: export it again`)
}

/**
 * A coordinate that may be reckoned with.
 * @throws MeshError
 */
export function checkCoordinate(value: number, fileName: string, place: string): number {
  if (!Number.isFinite(value)) throw notFinite(fileName, place, String(value))
  if (Math.abs(value) > FURTHEST)
    throw new MeshError(
      fileName,
      `${place}: the coordinate ${value} is out of all measure, the file is probably damaged: copy or export it again`,
    )
  return value
}

const notFinite = (fileName: string, place: string, value: string): MeshError =>
  new MeshError(
    fileName,
    `${place}: the coordinate ${value} is not a finite number: repair the mesh where it was made and export it again`,
  )

/**
 * A count of triangles or vertices that may be read.
 * @throws MeshError
 */
export function checkCount(count: number, most: number, what: string, fileName: string): void {
  if (count > most)
    throw new MeshError(
      fileName,
      `holds more than ${most / 1e6} million ${what}, too many to be a crown or a jaw: reduce the mesh and export it again`,
    )
}
