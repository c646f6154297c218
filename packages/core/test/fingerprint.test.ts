import { describe, expect, test } from 'vitest'
import { createVolume, fileFingerprint, fingerprint, fromFrame } from '../src/index.js'
import { murmur } from '../src/volume/murmur.js'
import { expectedFingerprints, fingerprints } from './fingerprint-cases.js'

/** The hash of bytes, as 16 bytes. */
function hashBytes(bytes: Uint8Array, seed: number): Uint8Array {
  const words = new Int32Array(Math.ceil(bytes.length / 4))
  new Uint8Array(words.buffer).set(bytes)
  const hash = murmur(seed)
  hash.feed(words, bytes.length)
  return new Uint8Array(Uint32Array.from(hash.digest()).buffer)
}

// SMHasher, VerificationTest: the hashes of {}, {0}, {0, 1} ... with seeds 256, 255 ... hashed once more begin with
// 0xB3ECE62A for MurmurHash3_x86_128. It covers every length from 0 to 255 bytes.
test('the hash is MurmurHash3_x86_128 by the check value of its author', () => {
  const hashes = new Uint8Array(256 * 16)
  for (let n = 0; n < 256; n++)
    hashes.set(
      hashBytes(
        Uint8Array.from({ length: n }, (_, i) => i),
        256 - n,
      ),
      16 * n,
    )
  expect(new DataView(hashBytes(hashes, 0).buffer).getUint32(0, true)).toBe(0xb3ece62a)
})

test('fed in pieces of whole blocks it is the same', () => {
  const words = Int32Array.from({ length: 4001 }, (_, n) => Math.imul(n, 0x9e3779b1))
  const whole = murmur(7)
  whole.feed(words)
  const pieces = murmur(7)
  for (const [from, to] of [
    [0, 4],
    [4, 4],
    [4, 2000],
    [2000, 4001],
  ])
    pieces.feed(words.subarray(from, to))
  expect(pieces.digest()).toEqual(whole.digest())
})

test('the fingerprint of a file is the first half of the hash of its bytes, whatever its length and place', () => {
  for (const length of [0, 1, 15, 84, 65_535, 65_536, 65_537, 200_001]) {
    const bytes = Uint8Array.from({ length: length + 3 }, (_, n) => Math.imul(n, 2654435761) >>> 24).subarray(
      3,
    )
    const words = new DataView(hashBytes(bytes, 0).buffer)
    const hex = [0, 4].map((at) => words.getUint32(at, true).toString(16).padStart(8, '0')).join('')
    expect(fileFingerprint(bytes)).toBe(hex)
  }
})

test('the same voxels have the fingerprint they have everywhere', () => {
  expect(fingerprints()).toEqual(expectedFingerprints)
})

describe('fingerprint', () => {
  const place = fromFrame([0.3, 0, 0], [0, 0.3, 0], [0, 0, 0.3], [0, 0, 0])
  const voxels = (n: number) => Int16Array.from({ length: n }, (_, i) => (i * 31) % 2000)

  test('does not depend on where in its buffer the array begins, whatever its length', () => {
    // 70 000 voxels are more than one piece of a copied array.
    for (const count of [1, 2, 3, 5, 6, 7, 8, 9, 70_001, 70_002])
      for (const kind of [Int16Array, Uint16Array]) {
        const data = kind.from(voxels(count))
        const shifted = new kind(new ArrayBuffer(2 * count + 2), 2, count)
        shifted.set(data)
        expect(fingerprint(shifted, [count, 1, 1], place)).toBe(fingerprint(data, [count, 1, 1], place))
      }
  })

  test('any voxel changed by one, or two swapped, at any place is another fingerprint', () => {
    const data = voxels(33)
    const of = () => fingerprint(data, [33, 1, 1], place)
    const seen = new Set([of()])
    for (let n = 0; n < data.length; n++) {
      data[n] = (data[n] as number) + 1
      seen.add(of())
      data[n] = (data[n] as number) - 1
    }
    for (let n = 1; n < data.length; n++) {
      const [a, b] = [data[n - 1] as number, data[n] as number]
      data.set([b, a], n - 1)
      seen.add(of())
      data.set([a, b], n - 1)
    }
    expect(seen.size).toBe(1 + 33 + 32)
  })

  test('shape, spacing, origin and kind of voxel count; zeros at the end count too', () => {
    const turned = fromFrame([0, 0.3, 0], [0.3, 0, 0], [0, 0, 0.3], [0, 0, 0])
    const far = fromFrame([0.3, 0, 0], [0, 0.3, 0], [0, 0, 0.3], [4294.967296, 0, 0])
    const zeros = new Int16Array(24)
    const all = [
      fingerprint(zeros, [2, 3, 4], place),
      fingerprint(zeros, [4, 3, 2], place),
      fingerprint(zeros, [2, 3, 4], turned),
      fingerprint(zeros, [2, 3, 4], far),
      fingerprint(new Uint16Array(24), [2, 3, 4], place),
      fingerprint(new Int16Array(25), [2, 3, 4], place),
      fingerprint(new Float32Array(12), [2, 3, 4], place),
    ]
    expect(new Set(all).size).toBe(all.length)
  })
})

describe('createVolume', () => {
  const indexToWorld = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])
  const parts = { data: Int16Array.from([5, -9, 3, 7]), shape: [2, 2, 1], indexToWorld } as const

  test('finds the grey range, no data aside, and takes one that is known', () => {
    expect(createVolume(parts).grey).toMatchObject({ minimum: -9, maximum: 7 })
    expect(createVolume({ ...parts, noData: -9 }).grey).toMatchObject({ minimum: 3, maximum: 7 })
    expect(createVolume({ ...parts, range: [-20, 20] }).grey).toMatchObject({ minimum: -20, maximum: 20 })
  })

  test('a scan where no voxel counts has the range 0 to 0, found or given', () => {
    const data = new Int16Array(4)
    expect(createVolume({ ...parts, data, noData: 0 }).grey).toMatchObject({ minimum: 0, maximum: 0 })
    const none = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY] as const
    expect(createVolume({ ...parts, data, noData: 0, range: none }).grey).toMatchObject({
      minimum: 0,
      maximum: 0,
    })
  })

  test('remarks and confirmed geometry are kept as they are; none without', () => {
    const remarks = [{ level: 'warn', code: 'slices-missing', text: 'One slice is missing.' }] as const
    const confirmed = { sliceStepMm: 0.3, how: { 'slice-step': 'typed' } } as const
    expect(createVolume(parts).remarks).toEqual([])
    expect(createVolume(parts)).not.toHaveProperty('confirmed')
    expect(createVolume({ ...parts, remarks, confirmed })).toMatchObject({ remarks, confirmed })
  })
})
