import type { Mat4, Vec3 } from '../space/index.js'
import { type Murmur, murmur } from './murmur.js'
import type { VoxelArray } from './voxels.js'

/**
 * A hash of the kind of voxels, shape, geometry (to 1e-6) and every voxel: 16 hexadecimal digits. Equal in Node and in a
 * browser; not cryptographic. About 1 GB/s.
 */
export function fingerprint(data: VoxelArray, shape: Vec3, indexToWorld: Mat4): string {
  const hash = murmur(0)
  hash.feed(headerWords(data, shape, indexToWorld))
  feedVoxels(hash, data)
  return told(hash)
}

/** A hash of the bytes of a file: 16 hexadecimal digits. Equal in Node and in a browser; not cryptographic. */
export function fileFingerprint(bytes: Uint8Array): string {
  const hash = murmur(0)
  feedBytes(hash, bytes)
  return told(hash)
}

const told = (hash: Murmur): string => {
  const [a, b] = hash.digest()
  return [a, b].map((n) => n.toString(16).padStart(8, '0')).join('')
}

/** 36 words: whole blocks, so that the voxels start on one. */
function headerWords(data: VoxelArray, shape: Vec3, indexToWorld: Mat4): Int32Array {
  const kind = data instanceof Float32Array ? 3 : data instanceof Uint16Array ? 2 : 1
  const micro = indexToWorld.map((m) => Math.round(m * 1e6))
  return Int32Array.from([kind, ...shape, ...micro, ...micro.map((m) => Math.floor(m / 2 ** 32))])
}

const PIECE_BYTES = 2 ** 16

/** The voxels as 32-bit words. An array that does not start on a word is copied piece by piece, never as a whole. */
function feedVoxels(hash: Murmur, data: VoxelArray): void {
  const { buffer, byteOffset, byteLength } = data
  if (byteOffset % 4 === 0 && byteLength % 4 === 0) {
    hash.feed(new Int32Array(buffer, byteOffset, byteLength / 4))
    return
  }
  feedBytes(hash, new Uint8Array(buffer, byteOffset, byteLength))
}

function feedBytes(hash: Murmur, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length; at += PIECE_BYTES) {
    const piece = bytes.subarray(at, at + PIECE_BYTES)
    const words = new Int32Array(Math.ceil(piece.length / 4))
    new Uint8Array(words.buffer).set(piece)
    hash.feed(words, piece.length)
  }
}
