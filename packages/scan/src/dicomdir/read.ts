import dicomParser, { type DataSet } from 'dicom-parser'
import { encodedText, readText } from '../headers/charset.js'
import { hasPreamble } from '../headers/container.js'
import { inflateUpTo, joinBytes } from '../inputs/index.js'
import { clipLastItem } from './clip.js'
import type { Dicomdir, ReferencedFile } from './dicomdir.js'
import { type DirectoryRecord, RECORDS, recordsOf } from './records.js'
import { seriesOf } from './series.js'

/** The index of a full disc is smaller; a file that unpacks to more is a trap. */
const LARGEST_INDEX_BYTES = 2 ** 28

/**
 * The files that a DICOMDIR lists, in any uncompressed or the deflated transfer syntax.
 * @param bytes the whole file, with or without preamble.
 * @returns null when it is none, or is damaged beyond reading or cut short.
 */
export function readDicomdir(bytes: Uint8Array): Dicomdir | null {
  try {
    const data = parse(withPreamble(bytes))
    return data && dicomdirOf(data)
  } catch {
    // The parser throws strings and plain objects; what matters is only that this cannot be read.
    return null
  }
}

function dicomdirOf(data: DataSet): Dicomdir | null {
  const records = recordsOf(data)
  if (!records) return null
  const series = seriesOf(records)
  return { files: records.flatMap((record) => fileOf(record, series.get(record)) ?? []) }
}

function fileOf(record: DirectoryRecord, seriesUid: string | undefined): ReferencedFile | null {
  const path = record.inUse ? pathOf(record.data) : ''
  if (path === '') return null
  const sopInstanceUid = record.data.string('x00041511')
  return {
    path,
    recordType: record.type,
    ...(seriesUid ? { seriesUid } : {}),
    ...(sopInstanceUid ? { sopInstanceUid } : {}),
  }
}

/** Referenced File ID has a value for each folder; some writers put a whole path into one, with a slash of their own. */
function pathOf(record: DataSet): string {
  const bytes = encodedText(record, 'x00041500')
  const text = readText(bytes, encodedText(record, 'x00080005')) ?? bytes
  const parts = text.split(/[\\/]/).map((part) => part.trim())
  return parts.filter((part) => part !== '' && part !== '.').join('/')
}

/** Null when the file ends within its records. */
function parse(file: Uint8Array): DataSet | null {
  const data = parseWhole(file) ?? parseClipped(file)
  // Of sequences that end by a delimiter the parser returns what there is of them.
  return data?.warnings.some((warning) => /^eof .*undefined length/.test(warning)) ? null : data
}

function parseWhole(file: Uint8Array): DataSet | null {
  try {
    return dicomParser.parseDicom(file, { inflater })
  } catch {
    return null
  }
}

function parseClipped(file: Uint8Array): DataSet | null {
  const clipped = clipLastItem(dicomParser.parseDicom(file, { inflater, untilTag: RECORDS }), RECORDS)
  return clipped && parseWhole(clipped)
}

/** File Meta Information stays as it is. */
const inflater = (file: Uint8Array, from: number): Uint8Array =>
  joinBytes([file.subarray(0, from), inflateUpTo(file.subarray(from), LARGEST_INDEX_BYTES)])

/** The parser wants the preamble; some writers begin with group 2. */
function withPreamble(bytes: Uint8Array): Uint8Array {
  const startsWithMeta = [2, 0, 0, 0].every((byte, i) => bytes[i] === byte)
  if (hasPreamble(bytes) || !startsWithMeta) return bytes
  const preamble = new Uint8Array(132)
  preamble.set([0x44, 0x49, 0x43, 0x4d], 128)
  return joinBytes([preamble, bytes])
}
