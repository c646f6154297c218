import { damaged } from './findings.js'

/** The lines of an NRRD header by name, in the spelling of the format's definition. */
export interface NrrdFields {
  readonly get: (name: string) => string | undefined
  /** The names that follow `data file: LIST`. */
  readonly listed: readonly string[]
}

/** Ways of writing a field that the definition allows beside its own. */
const SPELLINGS: Readonly<Record<string, string>> = {
  datafile: 'data file',
  lineskip: 'line skip',
  byteskip: 'byte skip',
}

/** The fields that are looked at; all others may hold anything. */
const FIELDS: readonly string[] = [
  'dimension',
  'type',
  'encoding',
  'endian',
  'data file',
  'line skip',
  'byte skip',
  'sizes',
  'spacings',
  'units',
  'kinds',
  'space',
  'space units',
  'space origin',
  'space directions',
]

/** The first lines that end a header: an empty one, with either way of ending lines. */
const HEADER_END = /\n\r?\n/

/** A header and where what follows it begins; `end` is -1 when there is no empty line. */
export function splitHeader(head: string): { readonly text: string; readonly end: number } {
  const found = HEADER_END.exec(head)
  return found
    ? { text: head.slice(0, found.index), end: found.index + found[0].length }
    : { text: head, end: -1 }
}

/**
 * Reads the lines "field: description". Comments and "key:=value" are passed over.
 * @throws FindingError `volume-file-damaged`
 */
export function readNrrdFields(file: string, text: string): NrrdFields {
  const [magic, ...lines] = text.split(/\r?\n/)
  if (!/^NRRD(000[1-5]|00\.01)\s*$/.test(magic))
    throw damaged(file, 'its version of NRRD is not known', 'Save the volume as NRRD version 5 or earlier.')
  const fields = new Map<string, string>()
  for (let n = 0; n < lines.length; n++) {
    const line = lines[n]
    if (line.startsWith('#') || /^[^:]*:=/.test(line) || line.trim() === '') continue
    const colon = line.indexOf(':')
    if (colon < 1) throw damaged(file, `line ${n + 2} of its header is not "field: value"`)
    const key = line.slice(0, colon).trim().toLowerCase()
    const value = line.slice(colon + 1).trim()
    const field = SPELLINGS[key] ?? key
    if (!FIELDS.includes(field)) continue
    if (fields.has(field)) throw damaged(file, `its header gives "${field}" twice`)
    fields.set(field, value)
    if (field === 'data file' && /^LIST\b/.test(value)) {
      const listed = lines.slice(n + 1).map((l) => l.trim())
      return { get: (wanted) => fields.get(wanted), listed: listed.filter((l) => l !== '') }
    }
  }
  return { get: (wanted) => fields.get(wanted), listed: [] }
}
