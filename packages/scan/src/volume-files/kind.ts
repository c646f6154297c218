import { Gunzip } from 'fflate'
import { joinBytes } from '../inputs/index.js'
import type { VolumeFileKind } from './header.js'
import { niftiVersion } from './nifti-fields.js'

/** A header of MetaIO begins with one of its keys. */
const META_IMAGE = /^\s*(ObjectType|NDims|Comment|Name|ID|TransformType|BinaryData)\s*[=:]/

/**
 * Which kind of volume file it is, told from its first bytes (4 kB are enough), packed NIfTI included.
 * Null for everything else.
 */
export function volumeFileKind(head: Uint8Array): VolumeFileKind | null {
  const text = new TextDecoder('latin1').decode(head.subarray(0, 4096))
  if (/^NRRD\d/.test(text)) return 'nrrd'
  if (META_IMAGE.test(text) && /^\s*NDims\s*[=:]\s*\d/m.test(text)) return 'metaimage'
  return niftiVersion(isGzip(head) ? unpackedHead(head) : head) === null ? null : 'nifti'
}

export const isGzip = (head: Uint8Array): boolean => head[0] === 0x1f && head[1] === 0x8b && head[2] === 8

/** What the first bytes of a gzip file unpack to; nothing when they are broken. */
export function unpackedHead(packed: Uint8Array): Uint8Array {
  const parts: Uint8Array[] = []
  const gunzip = new Gunzip((part) => parts.push(part))
  try {
    gunzip.push(packed)
  } catch {
    return new Uint8Array()
  }
  return joinBytes(parts)
}
