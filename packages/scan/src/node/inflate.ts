import { promisify } from 'node:util'
import { inflateRaw } from 'node:zlib'
import type { Inflate } from '../inputs/index.js'

const unpack = promisify<Uint8Array, object, Uint8Array>(inflateRaw)

/** Unpacks with zlib in a thread of its own. One byte of room to spare, so that too many bytes are told from enough. */
export const inflateNode: Inflate = async (packed, size) => {
  const { buffer, byteOffset, length } = await unpack(packed, {
    chunkSize: Math.max(64, size + 1),
    maxOutputLength: size + 1,
  })
  // A plain array: the slice() of a Buffer would not copy.
  return new Uint8Array(buffer, byteOffset, length)
}
