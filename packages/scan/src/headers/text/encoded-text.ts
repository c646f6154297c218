import type { DataSet } from 'dicom-parser'

/**
 * The bytes of an element, one character each, for `decodeText` and `decodeName`; empty where it is absent. The
 * parser's own `string` takes 0xa0 for a blank at the end and cuts it off, though it is part of an "à" in UTF-8.
 */
export function encodedText(data: DataSet, tag: string): string {
  const element = data.elements[tag]
  if (!element) return ''
  const bytes = data.byteArray.subarray(element.dataOffset, element.dataOffset + element.length)
  return Array.from(bytes, (byte) => String.fromCharCode(byte)).join('')
}
