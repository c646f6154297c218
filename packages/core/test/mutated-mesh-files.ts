import { createRandom, type Random } from '@alveometer/phantom'
import type { Mesh } from '../src/index.js'
import { cube, together } from './mesh-solids.js'
import {
  binaryPly,
  binaryStl,
  meshXml,
  modelXml,
  obj,
  RELATIONSHIPS,
  textPly,
  textStl,
  threeMf,
  zipped,
} from './mesh-writers.js'

/** A mesh file that something was done to. */
export interface MutatedMeshFile {
  /** Number, format and what was done, in order: enough to make it again. */
  readonly name: string
  readonly bytes: Uint8Array
}

const below = (random: Random, limit: number): number => Math.floor(random.uniform() * limit)
const pick = <T>(random: Random, list: readonly T[]): T => list[below(random, list.length)]

/** A tapering barrel of the height and width of a crown: closed, 4 rings of 9 and two middles. */
function barrel(): Mesh {
  const around = 9
  const rings = [3, 4, 3.5, 1.5]
  const positions = [0, 0, 0]
  for (const [n, radius] of rings.entries())
    for (let k = 0; k < around; k++) {
      const angle = (2 * Math.PI * k) / around
      positions.push(radius * Math.cos(angle), 0.8 * radius * Math.sin(angle), -3.25 * n)
    }
  positions.push(0, 0, -9.75)
  const at = (ring: number, k: number) => 1 + ring * around + (k % around)
  const triangles: number[] = []
  for (let k = 0; k < around; k++) {
    triangles.push(0, at(0, k), at(0, k + 1), at(4, 0), at(3, k + 1), at(3, k))
    for (let ring = 0; ring < 3; ring++)
      triangles.push(
        at(ring, k),
        at(ring + 1, k),
        at(ring + 1, k + 1),
        at(ring, k),
        at(ring + 1, k + 1),
        at(ring, k + 1),
      )
  }
  return { positions: Float64Array.from(positions, Math.fround), triangles: Uint32Array.from(triangles) }
}

const MESHES: readonly Mesh[] = [barrel(), cube(8), together(cube(8), cube(1, [20, 0, 0]))]

/** A package with a component and two transforms, so that those are hit too. */
const assembly = (mesh: Mesh): string =>
  modelXml(
    `<object id="1" type="model">${meshXml(mesh)}</object><object id="2"><components><component objectid="1" transform="0 1 0 -1 0 0 0 0 1 2 0 0"/></components></object>`,
    '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 0 0 5"/>',
    'unit="inch"',
  )

interface Format {
  readonly name: string
  readonly write: (mesh: Mesh) => Uint8Array
  /** What becomes of the mutated bytes; left out where they are the file. */
  readonly wrap?: (bytes: Uint8Array) => Uint8Array
}

const encode = (text: string): Uint8Array => new TextEncoder().encode(text)

const FORMATS: readonly Format[] = [
  { name: 'binary STL', write: (mesh) => binaryStl(mesh) },
  { name: 'binary STL named solid', write: (mesh) => binaryStl(mesh, 'solid x') },
  { name: 'text STL', write: (mesh) => textStl(mesh) },
  { name: 'OBJ', write: (mesh) => obj(mesh) },
  { name: 'OBJ counted back', write: (mesh) => obj(mesh, (n) => `${n - mesh.positions.length / 3}/1/1`) },
  { name: 'text PLY', write: textPly },
  { name: 'little-endian PLY', write: (mesh) => binaryPly(mesh, true) },
  { name: 'big-endian PLY', write: (mesh) => binaryPly(mesh, false) },
  { name: '3MF', write: (mesh) => threeMf(mesh) },
  { name: '3MF, not packed', write: (mesh) => threeMf(mesh, 'inch', 0) },
  // Mutated before it is packed, so that the check sums are right.
  {
    name: '3MF model',
    write: (mesh) => encode(assembly(mesh)),
    wrap: (model) => zipped({ '_rels/.rels': RELATIONSHIPS, '3D/3dmodel.model': model }, 0),
  },
  {
    name: '3MF relationships',
    write: () => encode(RELATIONSHIPS),
    wrap: (relationships) =>
      zipped({ '_rels/.rels': relationships, '3D/3dmodel.model': assembly(cube(1)) }, 0),
  },
]

const splice = (bytes: Uint8Array, from: number, to: number, middle: Uint8Array): Uint8Array => {
  const out = new Uint8Array(from + middle.length + bytes.length - to)
  out.set(bytes.subarray(0, from))
  out.set(middle, from)
  out.set(bytes.subarray(to), from + middle.length)
  return out
}

/** Where the numbers of a text stand. */
function numbersIn(bytes: Uint8Array): [number, number][] {
  const text = Array.from(bytes, (byte) => String.fromCharCode(byte)).join('')
  return Array.from(text.matchAll(/[-+]?\d[\d.e+-]*/g), ({ index, 0: word }) => [index, index + word.length])
}

const HOSTILE_WORDS = [
  ...['nan', '-nan', 'inf', '-Infinity', '1,5', '1e999', '1e300', '-1e38', '1e-320', '0x7f', '-0', '', '1 2'],
  ...[
    '-1',
    '0',
    '2147483648',
    '4294967295',
    '4294967296',
    '9007199254740993',
    '999999999999999999999',
    '1.5',
  ],
  ...['x', '"', '<', '>', '/', '&amp;', '&x;', '\n', '\\\n', '\0'],
]
const HOSTILE_WORD32 = [
  0, 1, 2, 3, 0x7f7fffff, 0x7f800000, 0x7fc00000, 0x7fffffff, 0x80000000, 0xff800000, 0xffffffff,
]

type Mutation = (bytes: Uint8Array, random: Random, other: Uint8Array) => Uint8Array

const MUTATIONS: Readonly<Record<string, Mutation>> = {
  'bits turned': (bytes, random) => {
    const out = bytes.slice()
    for (let n = 0; n <= below(random, 4); n++) out[below(random, out.length)] ^= 1 << below(random, 8)
    return out
  },
  'bytes replaced': (bytes, random) => {
    const out = bytes.slice()
    for (let n = 0; n <= below(random, 8); n++) out[below(random, out.length)] = below(random, 256)
    return out
  },
  'cut off': (bytes, random) => bytes.slice(0, below(random, bytes.length)),
  'front cut off': (bytes, random) => bytes.slice(below(random, Math.min(bytes.length, 200))),
  'a piece doubled': (bytes, random) => {
    const from = below(random, bytes.length)
    const piece = bytes.subarray(from, from + 1 + below(random, 200))
    return splice(bytes, from, from, piece)
  },
  'a piece lost': (bytes, random) => {
    const from = below(random, bytes.length)
    return splice(bytes, from, Math.min(bytes.length, from + 1 + below(random, 200)), new Uint8Array())
  },
  'a piece of another file': (bytes, random, other) => {
    const from = below(random, bytes.length)
    const start = below(random, other.length)
    return splice(bytes, from, from, other.subarray(start, start + 1 + below(random, 400)))
  },
  'numbers swapped': (bytes, random) => {
    const numbers = numbersIn(bytes)
    if (numbers.length < 2) return bytes
    const [first, second] = [pick(random, numbers), pick(random, numbers)].sort((a, b) => a[0] - b[0])
    if (second[0] < first[1]) return bytes
    const swapped = splice(bytes, second[0], second[1], bytes.slice(...first))
    return splice(swapped, first[0], first[1], bytes.slice(...second))
  },
  'a number replaced': (bytes, random) => {
    const numbers = numbersIn(bytes)
    if (numbers.length === 0) return bytes
    const [from, to] = pick(random, numbers)
    return splice(bytes, from, to, encode(pick(random, HOSTILE_WORDS)))
  },
  'a number changed a little': (bytes, random) => {
    const numbers = numbersIn(bytes)
    if (numbers.length === 0) return bytes
    const [from, to] = pick(random, numbers)
    const digit = from + below(random, to - from)
    return splice(bytes, digit, digit + 1, encode(String(below(random, 10))))
  },
  'a float replaced': (bytes, random) => {
    if (bytes.length < 4) return bytes
    const out = bytes.slice()
    const at = below(random, bytes.length - 3)
    new DataView(out.buffer).setFloat32(at, 10 * random.normal(), random.uniform() < 0.5)
    return out
  },
  'words of four bytes swapped': (bytes, random) => {
    if (bytes.length < 8) return bytes
    const out = bytes.slice()
    const [a, b] = [below(random, bytes.length - 3), below(random, bytes.length - 3)]
    out.set(bytes.subarray(a, a + 4), b)
    out.set(bytes.subarray(b, b + 4), a)
    return out
  },
  'a word of four bytes replaced': (bytes, random) => {
    if (bytes.length < 4) return bytes
    const out = bytes.slice()
    // Headers are where counts are, so they are hit more often.
    const at = below(random, random.uniform() < 0.3 ? Math.min(400, bytes.length - 3) : bytes.length - 3)
    new DataView(out.buffer).setUint32(at, pick(random, HOSTILE_WORD32), random.uniform() < 0.5)
    return out
  },
}

/**
 * `count` mesh files of every format, each with one to four things done to it; the same ones for the same seed. Files
 * are small (some 50 triangles), so that ten thousand are read in seconds.
 */
export function* mutatedMeshFiles(count: number, seed: string | number): Generator<MutatedMeshFile> {
  const random = createRandom(seed)
  const sources = FORMATS.map(({ write, ...format }) => ({ ...format, files: MESHES.map(write) }))
  const kinds = Object.entries(MUTATIONS)
  for (let n = 0; n < count; n++) {
    const { name, files, wrap } = sources[n % sources.length]
    let bytes = pick(random, files)
    const done: string[] = []
    for (let times = 1 + below(random, 4) * below(random, 2); times > 0; times--) {
      const [what, mutate] = pick(random, kinds)
      const mutated = mutate(bytes, random, pick(random, pick(random, sources).files))
      // Nothing can be done to nothing.
      if (mutated.length === 0) break
      bytes = mutated
      done.push(what)
    }
    yield { name: `${seed}/${n}: ${name}, ${done.join(', ')}`, bytes: wrap ? wrap(bytes) : bytes }
  }
}
