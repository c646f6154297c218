import { inflateSync, strFromU8 } from 'fflate'
import { crc32 } from './crc32.js'
import { MeshError } from './mesh-error.js'

/** A zip in memory. */
export interface Zip {
  has(name: string): boolean
  /** The bytes of an entry, or undefined where there is none; big and small letters are one, as in an OPC package. */
  entry(name: string): Uint8Array | undefined
}

interface Entry {
  readonly name: string
  readonly encrypted: boolean
  readonly method: number
  readonly crc: number
  readonly packedSize: number
  readonly size: number
  /** Where its local header starts. */
  readonly offset: number
}

export const isZip = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 &&
  bytes[1] === 0x4b &&
  ((bytes[2] === 3 && bytes[3] === 4) || (bytes[2] === 5 && bytes[3] === 6))

const END = 0x06054b50
const END64 = 0x06064b50
const LOCATOR64 = 0x07064b50
const CENTRAL = 0x02014b50
const LOCAL = 0x04034b50

const STORED = 0
const DEFLATED = 8
/** DEFLATE cannot pack tighter than this (RFC 1951: at best 258 bytes in two bits). */
const TIGHTEST_PACKING = 1032
/** All entries of a mesh file together, unpacked: a model of five million triangles stays below. Own choice. */
const MOST_UNPACKED_BYTES = 2 ** 29

/**
 * A zip by its central directory, zip64 included; nothing is unpacked before it is asked for. Layout: PKWARE APPNOTE
 * 6.3, 4.3.
 * @throws MeshError, also in `entry`, where the zip is damaged, encrypted or claims more than it can hold.
 */
export function openZip(bytes: Uint8Array, fileName: string): Zip {
  const entries = new Map<string, Entry>()
  for (const entry of readDirectory(bytes, fileName)) entries.set(entry.name.toLowerCase(), entry)
  let room = MOST_UNPACKED_BYTES
  return {
    has: (name) => entries.has(name.toLowerCase()),
    entry(name) {
      const entry = entries.get(name.toLowerCase())
      if (!entry) return undefined
      room -= entry.size
      if (room < 0) throw damaged(fileName, `it claims to hold more than ${MOST_UNPACKED_BYTES / 2 ** 20} MB`)
      return unpack(bytes, entry, fileName)
    },
  }
}

const damaged = (fileName: string, why: string): MeshError =>
  new MeshError(fileName, `the zip (3MF) is damaged: ${why}. Copy it again or export it again.`)

function readDirectory(bytes: Uint8Array, fileName: string): Entry[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  // The end record is 22 bytes and a comment of at most 65535.
  let at = bytes.length - 22
  const first = Math.max(0, at - 65535)
  while (at >= first && view.getUint32(at, true) !== END) at--
  if (at < first) throw damaged(fileName, 'its directory is missing, it was probably cut short')
  let size = view.getUint32(at + 12, true)
  let offset = view.getUint32(at + 16, true)
  if (at >= 20 && view.getUint32(at - 20, true) === LOCATOR64) {
    const end64 = Number(view.getBigUint64(at - 12, true))
    if (end64 + 56 > bytes.length || view.getUint32(end64, true) !== END64)
      throw damaged(fileName, 'its directory is broken')
    size = Number(view.getBigUint64(end64 + 40, true))
    offset = Number(view.getBigUint64(end64 + 48, true))
  }
  if (offset + size > bytes.length) throw damaged(fileName, 'its directory is cut short')
  const entries: Entry[] = []
  for (let p = offset; p + 46 <= offset + size; ) {
    const nameEnd = p + 46 + view.getUint16(p + 28, true)
    const extraEnd = nameEnd + view.getUint16(p + 30, true)
    const next = extraEnd + view.getUint16(p + 32, true)
    if (view.getUint32(p, true) !== CENTRAL || next > offset + size)
      throw damaged(fileName, 'its directory is broken')
    entries.push(readEntry(bytes, view, p, nameEnd, extraEnd))
    p = next
  }
  return entries
}

function readEntry(bytes: Uint8Array, view: DataView, p: number, nameEnd: number, extraEnd: number): Entry {
  let size = view.getUint32(p + 24, true)
  let packedSize = view.getUint32(p + 20, true)
  let offset = view.getUint32(p + 42, true)
  for (let e = nameEnd; e + 4 <= extraEnd; e += 4 + view.getUint16(e + 2, true)) {
    if (view.getUint16(e, true) !== 1) continue
    let q = e + 4
    const wide = (value: number): number => {
      if (value !== 0xffffffff || q + 8 > extraEnd) return value
      q += 8
      return Number(view.getBigUint64(q - 8, true))
    }
    size = wide(size)
    packedSize = wide(packedSize)
    offset = wide(offset)
  }
  return {
    name: strFromU8(bytes.subarray(p + 46, nameEnd)).replaceAll('\\', '/'),
    encrypted: (view.getUint16(p + 8, true) & 1) === 1,
    method: view.getUint16(p + 10, true),
    crc: view.getUint32(p + 16, true),
    packedSize,
    size,
    offset,
  }
}

function unpack(bytes: Uint8Array, entry: Entry, fileName: string): Uint8Array {
  const { name, method, offset, packedSize, size } = entry
  if (entry.encrypted) throw new MeshError(fileName, `${name} is encrypted: export it without a password`)
  if (method !== STORED && method !== DEFLATED)
    throw new MeshError(fileName, `${name} is packed in a way that is not understood: export it again as 3MF`)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (offset + 30 > bytes.length || view.getUint32(offset, true) !== LOCAL)
    throw damaged(fileName, `${name} is not where its directory says`)
  const start = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true)
  if (start + packedSize > bytes.length) throw damaged(fileName, `${name} is cut short`)
  if (size > TIGHTEST_PACKING * packedSize || (method === STORED && size !== packedSize))
    throw damaged(fileName, `${name} claims to hold ${size} bytes, more than it can`)
  const packed = bytes.subarray(start, start + packedSize)
  const unpacked = method === STORED ? packed : inflate(packed, size, name, fileName)
  if (crc32(unpacked) !== entry.crc) throw damaged(fileName, `the check sum of ${name} is wrong`)
  return unpacked
}

function inflate(packed: Uint8Array, size: number, name: string, fileName: string): Uint8Array {
  try {
    return inflateSync(packed, { out: new Uint8Array(size) })
  } catch {
    throw damaged(fileName, `${name} cannot be unpacked`)
  }
}
