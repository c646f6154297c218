import { MeshError } from './mesh-error.js'
import { plainText } from './words.js'

/** How a number lies in a binary PLY file: its bytes, and how to take it from there. */
export interface PlyScalar {
  readonly bytes: number
  readonly whole: boolean
  read(data: DataView, at: number, littleEndian: boolean): number
}

const int8: PlyScalar = { bytes: 1, whole: true, read: (data, at) => data.getInt8(at) }
const uint8: PlyScalar = { bytes: 1, whole: true, read: (data, at) => data.getUint8(at) }
const int16: PlyScalar = { bytes: 2, whole: true, read: (data, at, little) => data.getInt16(at, little) }
const uint16: PlyScalar = { bytes: 2, whole: true, read: (data, at, little) => data.getUint16(at, little) }
const int32: PlyScalar = { bytes: 4, whole: true, read: (data, at, little) => data.getInt32(at, little) }
const uint32: PlyScalar = { bytes: 4, whole: true, read: (data, at, little) => data.getUint32(at, little) }
const float32: PlyScalar = { bytes: 4, whole: false, read: (data, at, little) => data.getFloat32(at, little) }
const float64: PlyScalar = { bytes: 8, whole: false, read: (data, at, little) => data.getFloat64(at, little) }

/** Both sets of names are in use. */
const SCALARS: ReadonlyMap<string, PlyScalar> = new Map([
  ...([
    ['char', int8],
    ['int8', int8],
    ['uchar', uint8],
    ['uint8', uint8],
  ] as const),
  ...([
    ['short', int16],
    ['int16', int16],
    ['ushort', uint16],
    ['uint16', uint16],
  ] as const),
  ...([
    ['int', int32],
    ['int32', int32],
    ['uint', uint32],
    ['uint32', uint32],
  ] as const),
  ...([
    ['float', float32],
    ['float32', float32],
    ['double', float64],
    ['float64', float64],
  ] as const),
])

/** A property of an element: one number, or where `count` is given a list of them. */
export interface PlyProperty {
  readonly name: string
  readonly item: PlyScalar
  readonly count?: PlyScalar
}

export interface PlyElement {
  readonly name: string
  readonly count: number
  readonly properties: readonly PlyProperty[]
}

export interface PlyHeader {
  readonly encoding: 'ascii' | 'little' | 'big'
  readonly elements: readonly PlyElement[]
  /** Where the elements begin: the byte, and the number of its line. */
  readonly bodyAt: number
  readonly bodyLine: number
}

/** No header is as long as this, bytes. Own choice. */
const LONGEST_HEADER = 2 ** 20

export const isPly = (bytes: Uint8Array): boolean => /^ply\r?[\r\n]/.test(plainText(bytes, 0, 5))

/**
 * The header of a PLY file. Format: G. Turk, The PLY Polygon File Format, 1994.
 * @throws MeshError
 */
export function readPlyHeader(bytes: Uint8Array, fileName: string): PlyHeader {
  const text = plainText(bytes, 0, Math.min(bytes.length, LONGEST_HEADER))
  // Binary data may follow at once, so the header ends its lines all in the one way of its first line.
  const ending = /^ply(\r\n|\r|\n)/.exec(text)?.[1] ?? '\n'
  const end = text.indexOf(`${ending}end_header${ending}`)
  if (end < 0) throw new MeshError(fileName, 'the header of the PLY file has no end: copy it again')
  const lines = text.slice(0, end).split(ending)
  let encoding: PlyHeader['encoding'] | undefined
  const elements: { name: string; count: number; properties: PlyProperty[] }[] = []
  for (const [n, line] of lines.entries()) {
    const words = line.trim().split(/\s+/)
    const wrong = (what: string) =>
      new MeshError(fileName, `line ${n + 1}: ${what} ("${line.slice(0, 60)}"): export it again`)
    if (words[0] === 'format') {
      encoding = ENCODINGS.get(words[1])
      if (encoding === undefined) throw wrong('a PLY format that is not known')
    }
    if (words[0] === 'element') {
      if (!/^\d{1,15}$/.test(words[2] ?? '')) throw wrong('an element without its number')
      elements.push({ name: words[1], count: Number(words[2]), properties: [] })
    }
    if (words[0] === 'property') {
      const isList = words[1] === 'list'
      const [item, name] = isList ? [words[3], words[4]] : [words[1], words[2]]
      const scalar = SCALARS.get(item)
      const count = isList ? SCALARS.get(words[2]) : undefined
      const element = elements.at(-1)
      if (!scalar || !element || name === undefined || (isList && !count?.whole))
        throw wrong('a property that is not understood')
      element.properties.push({ name, item: scalar, ...(count ? { count } : {}) })
    }
  }
  if (encoding === undefined) throw new MeshError(fileName, 'the PLY header names no format: export it again')
  return {
    encoding,
    elements,
    bodyAt: end + `${ending}end_header${ending}`.length,
    bodyLine: lines.length + 2,
  }
}

const ENCODINGS: ReadonlyMap<string, PlyHeader['encoding']> = new Map([
  ['ascii', 'ascii'],
  ['binary_little_endian', 'little'],
  ['binary_big_endian', 'big'],
])
