import type { ScanInput } from '../inputs/index.js'
import type { ReportEntry } from '../report/index.js'
import { findDataFiles, namesOf } from './data-files.js'
import { damaged, truncated, unsupported } from './findings.js'
import type { StoredPart } from './header.js'
import type { NrrdFields } from './nrrd-fields.js'
import { isWhole, readNumbers, words } from './numbers.js'
import { partOf } from './stored-part.js'
import { asUtf8 } from './text-head.js'

/** By the names of an encoding; text encodings keep theirs for the decoder. */
const ENCODINGS: Readonly<Record<string, 'raw' | 'gzip' | 'ascii' | 'hex'>> = {
  raw: 'raw',
  gz: 'gzip',
  gzip: 'gzip',
  txt: 'ascii',
  text: 'ascii',
  ascii: 'ascii',
  hex: 'hex',
}
export type NrrdEncoding = (typeof ENCODINGS)[string]

const SAVE_RAW = 'Save it again with encoding raw or gzip.'

export function encodingOf(file: string, fields: NrrdFields): NrrdEncoding {
  const name = (fields.get('encoding') ?? '').toLowerCase()
  const encoding = ENCODINGS[name]
  if (encoding) return encoding
  if (name === 'bz2' || name === 'bzip2') throw unsupported(file, 'packed with bzip2', SAVE_RAW)
  throw damaged(file, 'its encoding is not known', SAVE_RAW)
}

interface Wanted {
  /** Where an attached header ends, -1 when it does not. */
  readonly end: number
  readonly encoding: NrrdEncoding
  readonly bytes: number
}

/**
 * Where the voxels of an NRRD header lie, as far as the sizes of the files can tell.
 * @throws FindingError
 */
export async function nrrdParts(
  header: ScanInput,
  siblings: readonly ScanInput[],
  fields: NrrdFields,
  { end, encoding, bytes }: Wanted,
  signal?: AbortSignal,
): Promise<{ parts: readonly StoredPart[]; report: readonly ReportEntry[] }> {
  const { name: file } = header
  const names = dataFileNames(file, fields)
  if (!names && end < 0) throw truncated(file, 'its header does not end')
  const inputs = names ? findDataFiles(header, names, siblings) : [header]
  const each = bytes / inputs.length
  if (!Number.isInteger(each)) throw damaged(file, 'its voxels cannot be shared among so many data files')
  const byteSkip = skipOf(file, fields, 'byte skip', -1)
  const lineSkip = skipOf(file, fields, 'line skip', 0)
  const text = encoding === 'ascii' || encoding === 'hex'
  if (text && inputs.length > 1) throw unsupported(file, `spread over ${inputs.length} text files`, SAVE_RAW)
  if (byteSkip < 0 && encoding !== 'raw')
    throw unsupported(file, 'packed with voxels counted from its end', SAVE_RAW)
  const parts: StoredPart[] = []
  const report: ReportEntry[] = []
  for (const input of inputs) {
    const from = (names ? 0 : end) + (await bytesOfLines(input, names ? 0 : end, lineSkip, signal))
    // Lines are skipped in the file, bytes in what is unpacked.
    const fromEnd = encoding === 'raw' && byteSkip < 0
    const start = fromEnd ? Math.max(from, input.size - each) : from + (encoding === 'gzip' ? 0 : byteSkip)
    const size = text ? textBytes(file, input, start, each, encoding) : each
    const { part, report: more } = partOf({
      input,
      header: file,
      start,
      packing: encoding === 'gzip' ? 'gzip' : 'none',
      skip: encoding === 'gzip' ? byteSkip : 0,
      bytes: size,
    })
    parts.push(part)
    report.push(...more)
  }
  return { parts, report }
}

/** `data file: NAME`, `PATTERN first last step [dimension]` or `LIST [dimension]`; null for an attached header. */
function dataFileNames(file: string, fields: NrrdFields): string[] | null {
  const value = fields.get('data file')
  if (value === undefined) return null
  if (/^LIST\b/.test(value)) return fields.listed.map(asUtf8)
  const [pattern, ...numbers] = words(value)
  if (!/%\d*[du]/.test(pattern)) return [asUtf8(value)]
  const [first, last, step] = readNumbers(numbers.join(' ')) ?? []
  return namesOf(file, asUtf8(pattern), { first, last, step })
}

function skipOf(file: string, fields: NrrdFields, field: 'byte skip' | 'line skip', least: number): number {
  const n = Number(fields.get(field) ?? 0)
  if (!isWhole(n, least)) throw damaged(file, `"${field}" cannot be right`)
  return n
}

/** Lines to skip are those of a short header of another kind. */
const SKIPPED_BYTES = 2 ** 20

async function bytesOfLines(
  input: ScanInput,
  start: number,
  lines: number,
  signal?: AbortSignal,
): Promise<number> {
  if (lines === 0) return 0
  const bytes = await input.read(start, start + SKIPPED_BYTES, signal)
  let at = 0
  for (let n = 0; n < lines; n++) {
    const next = bytes.indexOf(10, at)
    if (next < 0) throw damaged(input.name, 'it has fewer lines than its header skips')
    at = next + 1
  }
  return at
}

/** Text is decoded in one piece. */
const LARGEST_TEXT = 2 ** 29

/** The bytes of text that stand for so many bytes of numbers: all there are, and at least one digit each or two. */
function textBytes(
  file: string,
  input: ScanInput,
  start: number,
  bytes: number,
  encoding: NrrdEncoding,
): number {
  const there = Math.max(0, input.size - start)
  if (there > LARGEST_TEXT) throw unsupported(file, 'a volume of this size as text', SAVE_RAW)
  const least = encoding === 'hex' ? 2 * bytes : bytes / 8
  if (there < least) throw truncated(input.name, 'part of its text is missing')
  return there
}
