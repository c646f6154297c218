import type { DataSet, Element } from 'dicom-parser'

/** A directory record (PS3.3 F.3.2.2) and its place, by which other records refer to it. */
export interface DirectoryRecord {
  /** Of its item from the start of the file, bytes. */
  readonly offset: number
  /** Offset of the next record of the same level; 0 where there is none. */
  readonly next: number
  /** Offset of the first record below this one; 0 where there is none. */
  readonly lower: number
  readonly type: string
  readonly inUse: boolean
  readonly data: DataSet
}

/** Directory Record Sequence. */
export const RECORDS = 'x00041220'
const ITEM_HEADER_BYTES = 8

/** All records in the order of the file; null when it has no Directory Record Sequence. */
export function recordsOf(data: DataSet): DirectoryRecord[] | null {
  const sequence = data.elements[RECORDS]
  // In implicit VR the parser knows an empty sequence for nothing else than an empty element.
  if (!sequence || (!sequence.items && !isEmpty(sequence))) return null
  return (sequence.items ?? []).flatMap((item) => (item.dataSet ? [recordOf(item, item.dataSet)] : []))
}

const isEmpty = (sequence: Element): boolean => sequence.length === 0 && !sequence.hadUndefinedLength

function recordOf(item: Element, data: DataSet): DirectoryRecord {
  return {
    offset: item.dataOffset - ITEM_HEADER_BYTES,
    next: unsigned(data, 'x00041400', 4) ?? 0,
    lower: unsigned(data, 'x00041420', 4) ?? 0,
    type: data.string('x00041430') ?? '',
    inUse: unsigned(data, 'x00041410', 2) !== 0,
    data,
  }
}

const unsigned = (data: DataSet, tag: string, bytes: 2 | 4): number | undefined =>
  data.elements[tag]?.length === bytes ? (bytes === 2 ? data.uint16(tag) : data.uint32(tag)) : undefined
