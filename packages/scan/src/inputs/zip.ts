import { inflateSync } from 'fflate'
import { FindingError, warn } from '../report/index.js'
import { crc32 } from './crc32.js'
import { TIGHTEST_PACKING } from './inflate.js'
import type { ScanInput } from './input.js'
import { readDirectory, type ZipEntry } from './zip-directory.js'

/** Whether the bytes begin like a zip: a local file header, or the end record of an empty one. */
export const isZip = (head: Uint8Array): boolean =>
  head[0] === 0x50 &&
  head[1] === 0x4b &&
  ((head[2] === 3 && head[3] === 4) || (head[2] === 5 && head[3] === 6))

/**
 * The entries of a zip as inputs, folder names kept, each unpacked when it is read and not before.
 * @throws FindingError `zip-damaged` when the directory of the zip cannot be read.
 */
export async function inputsFromZip(zip: ScanInput, signal?: AbortSignal): Promise<ScanInput[]> {
  const entries = await readDirectory(zip, signal)
  return entries.map((entry) => inputFromEntry(zip, entry))
}

function inputFromEntry(zip: ScanInput, entry: ZipEntry): ScanInput {
  const name = `${zip.name}/${entry.name}`
  // Headers and pixels are two passes over an entry. Between them its bytes are kept only if memory allows.
  let unpacked: WeakRef<Uint8Array> | undefined
  return {
    name,
    size: entry.size,
    read: async (start = 0, end = entry.size, signal) => {
      let bytes = unpacked?.deref()
      if (!bytes) {
        bytes = await unpack(zip, entry, name, signal)
        unpacked = new WeakRef(bytes)
      }
      return bytes.subarray(start, Math.min(end, entry.size))
    },
  }
}

async function unpack(zip: ScanInput, entry: ZipEntry, name: string, signal?: AbortSignal) {
  const damaged = (why: string, cause?: unknown) =>
    new FindingError(
      warn(
        'zip-damaged',
        `${name} cannot be unpacked: ${why}. Make the zip again or copy the files as they are.`,
        [name],
      ),
      cause,
    )
  if (entry.encrypted) throw damaged('it is protected by a password')
  if (entry.method !== 0 && entry.method !== 8) throw damaged(`packing method ${entry.method} is not known`)
  if (entry.size > Math.max(1, entry.packedSize) * TIGHTEST_PACKING)
    throw damaged(`it claims to hold ${entry.size} bytes`)
  const head = await zip.read(entry.offset, entry.offset + 30, signal)
  if (head.length < 30 || !isZip(head)) throw damaged('its place in the zip holds something else')
  const view = new DataView(head.buffer, head.byteOffset, head.length)
  const from = entry.offset + 30 + view.getUint16(26, true) + view.getUint16(28, true)
  const packed = await zip.read(from, from + entry.packedSize, signal)
  if (packed.length < entry.packedSize) throw damaged('the zip ends too early')
  let bytes = packed
  if (entry.method === 8) {
    try {
      bytes = inflateSync(packed, { out: new Uint8Array(entry.size) })
    } catch (cause) {
      throw damaged('its packed bytes are broken', cause)
    }
  }
  if (bytes.length !== entry.size || crc32(bytes) !== entry.crc) throw damaged('its check sum is wrong')
  return bytes
}
