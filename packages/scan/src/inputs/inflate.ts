import { Inflate } from 'fflate'
import { joinBytes } from './join.js'

/** DEFLATE cannot pack tighter than this (RFC 1951: at best 258 bytes in two bits). */
export const TIGHTEST_PACKING = 1032

/**
 * Unpacks raw DEFLATE bytes of unknown size.
 * @throws RangeError beyond `limit` bytes; an Error when the bytes are broken or end too early.
 */
export function inflateUpTo(packed: Uint8Array, limit: number): Uint8Array {
  const parts: Uint8Array[] = []
  let size = 0
  let ended = false
  const inflate = new Inflate((part, final) => {
    parts.push(part)
    size += part.length
    ended = final
  })
  const piece = 65536
  for (let at = 0; at < packed.length; at += piece) {
    inflate.push(packed.subarray(at, at + piece), at + piece >= packed.length)
    if (size > limit) throw new RangeError(`unpacks to more than ${limit} bytes`)
  }
  if (!ended) throw new Error('ends too early')
  return joinBytes(parts)
}
