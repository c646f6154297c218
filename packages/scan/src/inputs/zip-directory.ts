import { FindingError, warn } from '../report/index.js'
import type { ScanInput } from './input.js'

/** What the central directory says about one entry. */
export interface ZipEntry {
  readonly name: string
  readonly method: number
  readonly encrypted: boolean
  readonly crc: number
  readonly packedSize: number
  readonly size: number
  /** Where its local header starts. */
  readonly offset: number
}

const END = 0x06054b50
const END64 = 0x06064b50
const LOCATOR64 = 0x07064b50
const CENTRAL = 0x02014b50

/** No slice or volume file of a jaw comes near this; a zip that claims more is not unpacked. */
const LARGEST_ENTRY_BYTES = 2 ** 31

/**
 * The files listed in a zip's central directory (folders left out), zip64 included. Layout: PKWARE APPNOTE 6.3, 4.3.
 * @throws FindingError `zip-damaged`
 */
export async function readDirectory(zip: ScanInput, signal?: AbortSignal): Promise<ZipEntry[]> {
  const damaged = (why: string) =>
    new FindingError(
      warn('zip-damaged', `${zip.name} is a damaged zip: ${why}. Copy it again or make it again.`, [
        zip.name,
      ]),
    )
  // The end record is 22 bytes and a comment of at most 65535.
  const tailStart = Math.max(0, zip.size - 22 - 65535 - 20)
  const tail = viewOf(await zip.read(tailStart, zip.size, signal))
  let at = tail.byteLength - 22
  while (at >= 0 && tail.getUint32(at, true) !== END) at--
  if (at < 0) throw damaged('its directory is missing, it was probably cut short')
  let size = tail.getUint32(at + 12, true)
  let offset = tail.getUint32(at + 16, true)
  if (at >= 20 && tail.getUint32(at - 20, true) === LOCATOR64) {
    const end64 = viewOf(await readAt(zip, big(tail, at - 12), 56, signal))
    if (end64.byteLength < 56 || end64.getUint32(0, true) !== END64) throw damaged('its directory is broken')
    size = big(end64, 40)
    offset = big(end64, 48)
  }
  const directory = viewOf(await readAt(zip, offset, size, signal))
  if (directory.byteLength < size) throw damaged('its directory is cut short')
  const entries: ZipEntry[] = []
  for (let p = 0; p + 46 <= size; ) {
    if (directory.getUint32(p, true) !== CENTRAL) throw damaged('its directory is broken')
    const nameLength = directory.getUint16(p + 28, true)
    const extraLength = directory.getUint16(p + 30, true)
    const next = p + 46 + nameLength + extraLength + directory.getUint16(p + 32, true)
    if (next > size) throw damaged('its directory is broken')
    const entry = readEntry(directory, p, nameLength, extraLength)
    if (entry.size > LARGEST_ENTRY_BYTES) throw damaged(`${entry.name} claims to hold ${entry.size} bytes`)
    if (!entry.name.endsWith('/')) entries.push(entry)
    p = next
  }
  return entries
}

function readEntry(view: DataView, p: number, nameLength: number, extraLength: number): ZipEntry {
  const flags = view.getUint16(p + 8, true)
  const nameBytes = new Uint8Array(view.buffer, view.byteOffset + p + 46, nameLength)
  // Bit 11 declares UTF-8. Many packers write UTF-8 without it, so latin1 is only the second choice.
  let name: string
  try {
    name = new TextDecoder('utf-8', { fatal: true }).decode(nameBytes)
  } catch {
    name = new TextDecoder('latin1').decode(nameBytes)
  }
  let size = view.getUint32(p + 24, true)
  let packedSize = view.getUint32(p + 20, true)
  let offset = view.getUint32(p + 42, true)
  const extraEnd = p + 46 + nameLength + extraLength
  for (let e = p + 46 + nameLength; e + 4 <= extraEnd; e += 4 + view.getUint16(e + 2, true)) {
    if (view.getUint16(e, true) !== 1) continue
    let q = e + 4
    const take = (value: number) => {
      if (value !== 0xffffffff || q + 8 > extraEnd) return value
      q += 8
      return big(view, q - 8)
    }
    size = take(size)
    packedSize = take(packedSize)
    offset = take(offset)
  }
  return {
    name: name.replaceAll('\\', '/'),
    method: view.getUint16(p + 10, true),
    encrypted: (flags & 1) === 1,
    crc: view.getUint32(p + 16, true),
    packedSize,
    size,
    offset,
  }
}

const viewOf = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
const readAt = (zip: ScanInput, at: number, length: number, signal?: AbortSignal) =>
  zip.read(at, at + length, signal)
const big = (view: DataView, at: number) => Number(view.getBigUint64(at, true))
