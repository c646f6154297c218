import { ByteWriter } from './bytes.js'
import {
  type Dataset,
  decimalString,
  type Encapsulated,
  isEncapsulated,
  isRaw,
  type PlainValue,
} from './dataset.js'
import { lookUp } from './dictionary.js'

export interface Encoding {
  /** Default 'explicit'. */
  readonly vr?: 'explicit' | 'implicit'
  /** Default true. */
  readonly littleEndian?: boolean
}

/** VRs whose length takes 32 bits in explicit VR (PS3.5 section 7.1.2). */
const longVrs = new Set(['OB', 'OD', 'OF', 'OL', 'OV', 'OW', 'SQ', 'UC', 'UN', 'UR', 'UT', 'SV', 'UV'])
const textEncoder = new TextEncoder()

/**
 * A data set as bytes, elements sorted by tag. Numbers for US, SS, UL, SL, FL, FD and AT (tag as a number) become
 * binary, for DS, IS and text a string. Sequences are written with explicit lengths.
 * Uint8Array values are written as they are (padded to even), whatever their VR: faulty elements are made that way.
 * Text is written as UTF-8; say so in SpecificCharacterSet where it matters.
 */
export function encodeDataset(dataset: Dataset, encoding: Encoding = {}): Uint8Array {
  const out = new ByteWriter(encoding.littleEndian ?? true)
  const explicit = (encoding.vr ?? 'explicit') === 'explicit'
  const signed = dataset.PixelRepresentation === 1
  const elements = Object.entries(dataset)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ({ key: lookUp(key), value }))
    .sort((a, b) => (a.key[0] < b.key[0] ? -1 : 1))
  for (const { key, value } of elements) {
    const [tag, dictionaryVr] = key
    const vr = isRaw(value) ? value.vr : dictionaryVr === 'xs' ? (signed ? 'SS' : 'US') : dictionaryVr
    if (isEncapsulated(value)) writeFragments(out, tag, explicit, value)
    else if (value !== undefined) {
      const plain = isRaw(value) ? value.value : value
      writeElement(out, tag, vr, explicit, encodeValue(vr, plain, encoding))
    }
  }
  return out.done()
}

function writeHeader(out: ByteWriter, tag: string, vr: string, explicit: boolean, length: number): void {
  writeTag(out, tag)
  if (!explicit) {
    out.uint32(length)
    return
  }
  out.bytes(textEncoder.encode(vr))
  if (longVrs.has(vr)) {
    out.uint16(0)
    out.uint32(length)
  } else if (length > 0xffff) throw new RangeError(`${tag} ${vr}: ${length} bytes do not fit in 16 bits`)
  else out.uint16(length)
}

function writeTag(out: ByteWriter, tag: string): void {
  out.uint16(Number.parseInt(tag.slice(0, 4), 16))
  out.uint16(Number.parseInt(tag.slice(4), 16))
}

function writeElement(out: ByteWriter, tag: string, vr: string, explicit: boolean, bytes: Uint8Array): void {
  const odd = bytes.length % 2
  writeHeader(out, tag, vr, explicit, bytes.length + odd)
  out.bytes(bytes)
  if (odd) out.bytes(Uint8Array.of(vr === 'UI' || vr === 'OB' || vr === 'UN' ? 0 : 0x20))
}

/** PS3.5 annex A.4: offset table item, one item per fragment, delimiter. */
function writeFragments(out: ByteWriter, tag: string, explicit: boolean, data: Encapsulated): void {
  writeHeader(out, tag, 'OB', explicit, 0xffffffff)
  const offsets = data.offsets ?? []
  writeTag(out, 'FFFEE000')
  out.uint32(4 * offsets.length)
  for (const offset of offsets) out.uint32(offset)
  for (const fragment of data.fragments) {
    writeTag(out, 'FFFEE000')
    out.uint32(fragment.length + (fragment.length % 2))
    out.bytes(fragment)
    if (fragment.length % 2) out.bytes(Uint8Array.of(0))
  }
  writeTag(out, 'FFFEE0DD')
  out.uint32(0)
}

function encodeValue(vr: string, value: PlainValue, encoding: Encoding): Uint8Array {
  if (value instanceof Uint8Array) return value
  if (value === null || value === '') return new Uint8Array(0)
  const values = Array.isArray(value) ? (value as readonly unknown[]) : [value]
  if (vr === 'SQ') return encodeItems(values as readonly Dataset[], encoding)
  const size = binarySize[vr]
  if (size !== undefined) return encodeNumbers(vr, size, values as readonly number[], encoding)
  const text = values.map((v) =>
    typeof v !== 'number' ? String(v) : vr === 'DS' ? decimalString(v) : String(v),
  )
  return textEncoder.encode(text.join('\\'))
}

function encodeItems(items: readonly Dataset[], encoding: Encoding): Uint8Array {
  const out = new ByteWriter(encoding.littleEndian ?? true)
  for (const item of items) {
    const bytes = encodeDataset(item, encoding)
    writeTag(out, 'FFFEE000')
    out.uint32(bytes.length)
    out.bytes(bytes)
  }
  return out.done()
}

const binarySize: Readonly<Record<string, number>> = {
  US: 2,
  SS: 2,
  UL: 4,
  SL: 4,
  FL: 4,
  FD: 8,
  AT: 4,
  OW: 2,
}

function encodeNumbers(vr: string, size: number, values: readonly number[], encoding: Encoding): Uint8Array {
  const bytes = new Uint8Array(size * values.length)
  const view = new DataView(bytes.buffer)
  const little = encoding.littleEndian ?? true
  values.forEach((v, i) => {
    const at = i * size
    if (vr === 'US' || vr === 'OW') view.setUint16(at, v, little)
    else if (vr === 'SS') view.setInt16(at, v, little)
    else if (vr === 'UL') view.setUint32(at, v, little)
    else if (vr === 'SL') view.setInt32(at, v, little)
    else if (vr === 'FL') view.setFloat32(at, v, little)
    else if (vr === 'FD') view.setFloat64(at, v, little)
    else {
      view.setUint16(at, v >>> 16, little)
      view.setUint16(at + 2, v & 0xffff, little)
    }
  })
  return bytes
}
