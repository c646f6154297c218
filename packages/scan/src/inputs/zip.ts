import { inflateSync } from 'fflate'
import { FindingError, warn } from '../report/index.js'
import { crc32 } from './crc32.js'
import { TIGHTEST_PACKING } from './inflate.js'
import type { Inflate, ScanInput } from './input.js'
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
  const room = { bytes: KEPT_BYTES }
  return entries.map((entry) => inputFromEntry(zip, entry, room))
}

/** Headers and pixels are two passes over an entry. Up to so many unpacked bytes of a zip wait for the second one. */
const KEPT_BYTES = 64 * 2 ** 20

function inputFromEntry(zip: ScanInput, entry: ZipEntry, room: { bytes: number }): ScanInput {
  const name = `${zip.name}/${entry.name}`
  let kept: Uint8Array | undefined
  // Beyond that room, and after the second pass, the bytes stay only if memory allows.
  let unpacked: WeakRef<Uint8Array> | undefined
  return {
    name,
    size: entry.size,
    ...(zip.inflate ? { inflate: zip.inflate } : {}),
    read: async (start = 0, end = entry.size, signal) => {
      let bytes = kept ?? unpacked?.deref()
      if (!bytes) {
        bytes = await unpack(zip, entry, name, signal)
        unpacked = new WeakRef(bytes)
      }
      const headersOnly = start === 0 && end < entry.size
      if (headersOnly && !kept && entry.size <= room.bytes) {
        kept = bytes
        room.bytes -= entry.size
      } else if (!headersOnly && kept) {
        kept = undefined
        room.bytes += entry.size
      }
      return bytes.subarray(start, Math.min(end, entry.size))
    },
  }
}

/** Most local headers have a name and an extra field shorter than this. */
const SLACK_BYTES = 512

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
  // One read for the local header and what follows it; how long its name and extra field are it says itself.
  const part = await zip.read(entry.offset, entry.offset + 30 + SLACK_BYTES + entry.packedSize, signal)
  if (part.length < 30 || !isZip(part)) throw damaged('its place in the zip holds something else')
  const view = new DataView(part.buffer, part.byteOffset, part.length)
  const skip = 30 + view.getUint16(26, true) + view.getUint16(28, true)
  const from = entry.offset + skip
  const whole = skip <= 30 + SLACK_BYTES
  const packed = whole
    ? part.subarray(skip, skip + entry.packedSize)
    : await zip.read(from, from + entry.packedSize, signal)
  if (packed.length < entry.packedSize) throw damaged('the zip ends too early')
  let bytes = packed
  if (entry.method === 8) {
    try {
      bytes = await inflate(packed, entry.size, zip.inflate)
    } catch (cause) {
      throw damaged('its packed bytes are broken', cause)
    }
  }
  if (bytes.length !== entry.size || crc32(bytes) !== entry.crc) throw damaged('its check sum is wrong')
  return bytes
}

/** By the platform where it can; whatever it rejects is tried once more by ours, so that one judge decides. */
async function inflate(packed: Uint8Array, size: number, platform?: Inflate): Promise<Uint8Array> {
  if (platform)
    try {
      return await platform(packed, size)
    } catch {
      // Not known to this platform, or broken; the next lines tell which.
    }
  return inflateSync(packed, { out: new Uint8Array(size) })
}
