import type { ScanInput } from '../inputs/index.js'
import { block, FindingError, nameFiles } from '../report/index.js'
import { damaged } from './findings.js'

/** A volume of one slice a file has some hundreds; more names than this are no list of files. */
const MOST_FILES = 32767

/** The longest path of common systems. */
const LONGEST_NAME = 4096

/**
 * The files named in a header, among those that were picked with it. Looked for beside the header; the folders of
 * another computer in a name do not count.
 * @throws FindingError `data-file-missing` naming what has to be picked as well, `volume-file-damaged`
 */
export function findDataFiles(
  header: ScanInput,
  names: readonly string[],
  siblings: readonly ScanInput[],
): ScanInput[] {
  if (names.some((name) => name.length > LONGEST_NAME))
    throw damaged(header.name, 'the names of its data files cannot be right', 'Save the volume as one file.')
  const folder = folderOf(header.name)
  const at = placesOf(siblings.filter((s) => s !== header))
  const found = names.map((name) => at(`${folder}/${name}`) ?? at(`${folder}/${baseName(name)}`))
  const missing = names.filter((_, i) => !found[i])
  if (missing.length === 0) return found.filter((f) => f !== undefined)
  const what = missing.length === 1 ? 'is' : 'are'
  const message = `${header.name} holds no voxels itself: they are in ${nameFiles(missing.map(baseName))}, which ${what} not among the files. Pick them together.`
  throw new FindingError(block('data-file-missing', message, [header.name]))
}

/**
 * Names made of a pattern with one number, as in C ("slice%03d.raw"), from `first` in steps until `last` is passed.
 * @throws FindingError `volume-file-damaged`
 */
export function namesOf(
  file: string,
  pattern: string,
  range: { readonly first: number; readonly last: number; readonly step: number },
): string[] {
  const { first, last, step } = range
  const [whole, zeros, width] = /%(0?)(\d{0,2})[du]/.exec(pattern) ?? []
  const count = Math.floor((last - first) / step) + 1
  const sound =
    [first, last, step].every(Number.isSafeInteger) && step !== 0 && count >= 1 && count <= MOST_FILES
  const plain = pattern.length <= LONGEST_NAME && pattern.split('%').length === 2
  if (whole === undefined || !plain || !sound)
    throw damaged(file, 'its list of data files cannot be read', 'Save the volume as one file.')
  return Array.from({ length: count }, (_, i) => {
    const number = String(first + i * step)
    return pattern.replace(whole, number.padStart(Number(width), zeros === '0' ? '0' : ' '))
  })
}

/** Finds an input by its path: as written, or in other letters when only one is meant. */
function placesOf(inputs: readonly ScanInput[]): (path: string) => ScanInput | undefined {
  const exact = new Map(inputs.map((input) => [tidy(input.name), input]))
  const loose = new Map<string, ScanInput | undefined>()
  for (const [path, input] of exact) {
    const key = path.toLowerCase()
    loose.set(key, loose.has(key) ? undefined : input)
  }
  return (path) => exact.get(tidy(path)) ?? loose.get(tidy(path).toLowerCase())
}

/** A path with slashes of one kind and without detours. */
function tidy(path: string): string {
  const parts: string[] = []
  for (const part of path.replaceAll('\\', '/').split('/')) {
    if (part === '..') parts.pop()
    else if (part !== '.' && part !== '') parts.push(part)
  }
  return parts.join('/')
}

const folderOf = (path: string) => path.replaceAll('\\', '/').split('/').slice(0, -1).join('/')
export const baseName = (path: string): string => path.replaceAll('\\', '/').split('/').at(-1) ?? path
