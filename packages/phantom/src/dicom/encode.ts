import { ByteWriter } from './bytes.js'
import {
  type Dataset,
  decimalString,
  type Encapsulated,
  isEncapsulated,
  isRaw,
  type Lengths,
  type PlainValue,
  type RawElement,
} from './dataset.js'
import { lookUp } from './dictionary.js'

export interface Encoding {
  /** Default 'explicit'. */
  readonly vr?: 'explicit' | 'implicit'
  /** Default true. */
  readonly littleEndian?: boolean
  /** Of sequences and their items; default 'explicit'. */
  readonly lengths?: Lengths
}

const UNDEFINED_LENGTH = 0xffffffff
const ITEM = 'FFFEE000'
const ITEM_END = 'FFFEE00D'
const SEQUENCE_END = 'FFFEE0DD'

/** VRs whose length takes 32 bits in explicit VR (PS3.5 section 7.1.2). */
const longVrs = new Set(['OB', 'OD', 'OF', 'OL', 'OV', 'OW', 'SQ', 'UC', 'UN', 'UR', 'UT', 'SV', 'UV'])
const textEncoder = new TextEncoder()

/**
 * A data set as bytes, elements sorted by tag. Numbers for US, SS, UL, SL, FL, FD and AT (tag as a number) become
 * binary, for DS, IS and text a string. Data sets under VR UN become implicit VR little endian (PS3.5 section 6.2.2).
 * Uint8Array values are written as they are (padded to even), whatever their VR: faulty elements are made that way.
 * Text is written as UTF-8; say so in SpecificCharacterSet where it matters.
 */
export function encodeDataset(dataset: Dataset, encoding: Encoding = {}): Uint8Array {
  const out = new ByteWriter(encoding.littleEndian ?? true)
  const signed = dataset.PixelRepresentation === 1
  const elements = Object.entries(dataset)
    .flatMap(([key, value]) => (value === undefined ? [] : [{ key: lookUp(key), value }]))
    .sort((a, b) => (a.key[0] < b.key[0] ? -1 : 1))
  for (const { key, value } of elements) {
    const [tag, dictionaryVr] = key
    if (isEncapsulated(value)) {
      writeFragments(out, tag, isExplicit(encoding), value)
      continue
    }
    const vr = dictionaryVr === 'xs' ? (signed ? 'SS' : 'US') : dictionaryVr
    writeElement(out, tag, isRaw(value) ? value : { vr, value }, encoding)
  }
  return out.done()
}

const isExplicit = (encoding: Encoding): boolean => (encoding.vr ?? 'explicit') === 'explicit'

const isItems = (vr: string, value: PlainValue): value is readonly Dataset[] =>
  Array.isArray(value) && (vr === 'SQ' || typeof value[0] === 'object')

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

function writeElement(out: ByteWriter, tag: string, element: RawElement, encoding: Encoding): void {
  const { vr, value, lengths = encoding.lengths } = element
  const open = isItems(vr, value) && lengths === 'undefined'
  const bytes = isItems(vr, value)
    ? encodeItems(value, { ...encoding, ...(vr === 'UN' ? unknownVr : {}), lengths })
    : encodeValue(vr, value, encoding)
  const odd = bytes.length % 2
  writeHeader(out, tag, vr, isExplicit(encoding), open ? UNDEFINED_LENGTH : bytes.length + odd)
  out.bytes(bytes)
  if (odd) out.bytes(Uint8Array.of(vr === 'UI' || vr === 'OB' || vr === 'UN' ? 0 : 0x20))
}

/** How data sets under VR UN are written, whatever the rest of the file (PS3.5 section 6.2.2). */
const unknownVr: Encoding = { vr: 'implicit', littleEndian: true }

/** The items, and behind them the delimiter where lengths are undefined. */
function encodeItems(items: readonly Dataset[], encoding: Encoding): Uint8Array {
  const out = new ByteWriter(encoding.littleEndian ?? true)
  const open = encoding.lengths === 'undefined'
  for (const item of items) {
    const bytes = encodeDataset(item, encoding)
    writeMark(out, ITEM, open ? UNDEFINED_LENGTH : bytes.length)
    out.bytes(bytes)
    if (open) writeMark(out, ITEM_END, 0)
  }
  if (open) writeMark(out, SEQUENCE_END, 0)
  return out.done()
}

/** Items and delimiters have a tag and a length and no VR (PS3.5 section 7.5). */
function writeMark(out: ByteWriter, tag: string, length: number): void {
  writeTag(out, tag)
  out.uint32(length)
}

/** PS3.5 annex A.4: offset table item, one item per fragment, delimiter. */
function writeFragments(out: ByteWriter, tag: string, explicit: boolean, data: Encapsulated): void {
  writeHeader(out, tag, 'OB', explicit, UNDEFINED_LENGTH)
  const offsets = data.offsets ?? []
  writeMark(out, ITEM, 4 * offsets.length)
  for (const offset of offsets) out.uint32(offset)
  for (const fragment of data.fragments) {
    writeMark(out, ITEM, fragment.length + (fragment.length % 2))
    out.bytes(fragment)
    if (fragment.length % 2) out.bytes(Uint8Array.of(0))
  }
  writeMark(out, SEQUENCE_END, 0)
}

function encodeValue(vr: string, value: PlainValue, encoding: Encoding): Uint8Array {
  if (value instanceof Uint8Array) return value
  if (value === null || value === '') return new Uint8Array(0)
  const values = Array.isArray(value) ? (value as readonly unknown[]) : [value]
  const size = binarySize[vr]
  if (size !== undefined) return encodeNumbers(vr, size, values as readonly number[], encoding)
  const text = values.map((v) =>
    typeof v !== 'number' ? String(v) : vr === 'DS' ? decimalString(v) : String(v),
  )
  return textEncoder.encode(text.join('\\'))
}

const binarySize: Readonly<Record<string, number>> = {
  US: 2,
  SS: 2,
  UL: 4,
  SL: 4,
  FL: 4,
  FD: 8,
  OV: 8,
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
    else if (vr === 'OV') view.setBigUint64(at, BigInt(v), little)
    else {
      view.setUint16(at, v >>> 16, little)
      view.setUint16(at + 2, v & 0xffff, little)
    }
  })
  return bytes
}
