import dicomParser, { type DataSet } from 'dicom-parser'

const UNDEFINED_LENGTH = 0xffffffff

/**
 * A copy of the file in which an item that claims to reach beyond its sequence ends with it: editors of a DICOMDIR
 * forget the length of the last record, and the parser then gives up on all of them. Null when nothing of the kind is
 * wrong.
 * @param head the file parsed up to the sequence.
 */
export function clipLastItem(head: DataSet, sequenceTag: string): Uint8Array | null {
  const sequence = head.elements[sequenceTag]
  if (!sequence || sequence.length === UNDEFINED_LENGTH) return null
  const end = sequence.dataOffset + sequence.length
  if (end > head.byteArray.length) return null
  const stream = new dicomParser.ByteStream(head.byteArrayParser, head.byteArray, sequence.dataOffset)
  while (stream.position < end) {
    const item = dicomParser.readSequenceItem(stream)
    if (item.length === UNDEFINED_LENGTH) return null
    if (item.dataOffset + item.length > end)
      return withLength(head, item.dataOffset - 4, end - item.dataOffset)
    stream.seek(item.length)
  }
  return null
}

function withLength(head: DataSet, at: number, length: number): Uint8Array {
  const bytes = Uint8Array.from(head.byteArray)
  const littleEndian = head.byteArrayParser === dicomParser.littleEndianByteArrayParser
  new DataView(bytes.buffer).setUint32(at, length, littleEndian)
  return bytes
}
