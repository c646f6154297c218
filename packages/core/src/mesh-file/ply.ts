import { checkCoordinate, checkCount, MOST_TRIANGLES, MOST_VERTICES, parseCoordinate } from './bounds.js'
import type { FileMesh } from './file-mesh.js'
import { MeshError } from './mesh-error.js'
import type { PlyElement, PlyHeader, PlyProperty, PlyScalar } from './ply-header.js'
import { readPlyHeader } from './ply-header.js'
import { createWords } from './words.js'

/** The numbers of the elements, one after the other. */
interface Numbers {
  /** Any number; NaN where the text is none. */
  next(type: PlyScalar): number
  /** A coordinate that may be reckoned with, or a MeshError. */
  coordinate(type: PlyScalar): number
  /** Where the last number stands, for errors. */
  place(): string
  /** How many numbers of so many bytes may still come, at most. */
  most(bytes: number): number
}

/**
 * The polygons of a PLY file, cut into fans: text or binary of either byte order, vertices of any number type, faces
 * by `vertex_indices` or `vertex_index`. Other properties and elements are passed over.
 * @throws MeshError
 */
export function readPly(bytes: Uint8Array, fileName: string): FileMesh {
  const header = readPlyHeader(bytes, fileName)
  const numbers =
    header.encoding === 'ascii'
      ? textNumbers(bytes, header, fileName)
      : binaryNumbers(bytes, header, fileName)
  const vertices = header.elements.find(({ name }) => name === 'vertex')?.count ?? 0
  checkCount(vertices, MOST_VERTICES, 'vertices', fileName)
  if (!header.elements.some(({ name, count }) => name === 'face' && count > 0))
    throw new MeshError(
      fileName,
      vertices > 0
        ? 'holds points but no faces: make triangles of it (or, if it has strips, write faces) and export it again'
        : 'holds no faces: export it again',
    )
  let positions: readonly number[] = []
  let triangles: readonly number[] = []
  for (const element of header.elements) {
    checkLength(element, numbers, fileName)
    if (element.name === 'vertex') positions = readVertices(element, numbers, fileName)
    else if (element.name === 'face') triangles = readFaces(element, numbers, vertices, fileName)
    else
      for (let n = 0; n < element.count; n++)
        for (const property of element.properties) skip(property, numbers, fileName)
  }
  return {
    mesh: { positions: new Float64Array(positions), triangles: new Uint32Array(triangles) },
    format: 'ply',
    unitMm: null,
    notes: [],
  }
}

/** A header that promises more than the file can hold is found out before anything is read for it. */
function checkLength({ name, count, properties }: PlyElement, numbers: Numbers, fileName: string): void {
  const least = properties.reduce((sum, { item, count: list }) => sum + (list ?? item).bytes, 0)
  if (count > 0 && least === 0)
    throw new MeshError(fileName, `the PLY header gives "${name}" no properties: export it again`)
  if (count > numbers.most(least) || count * properties.length > numbers.most(1))
    throw new MeshError(
      fileName,
      `the PLY header promises ${count} of "${name}", more than there are bytes for: the file is cut short, copy it again`,
    )
}

function readVertices({ count, properties }: PlyElement, numbers: Numbers, fileName: string): number[] {
  const at = ['x', 'y', 'z'].map((axis) => properties.findIndex(({ name, count }) => name === axis && !count))
  if (at.includes(-1))
    throw new MeshError(fileName, 'the PLY header gives the vertices no x, y and z: export it again')
  const xyz = [0, 0, 0]
  const positions: number[] = []
  for (let n = 0; n < count; n++) {
    for (const [p, property] of properties.entries()) {
      const axis = at.indexOf(p)
      if (axis < 0) skip(property, numbers, fileName)
      else xyz[axis] = numbers.coordinate(property.item)
    }
    positions.push(xyz[0], xyz[1], xyz[2])
  }
  return positions
}

function readFaces(
  { count, properties }: PlyElement,
  numbers: Numbers,
  vertices: number,
  fileName: string,
): number[] {
  const corners = properties.findIndex(
    ({ name, count }) => count && (name === 'vertex_indices' || name === 'vertex_index'),
  )
  if (corners < 0)
    throw new MeshError(fileName, 'the PLY header gives the faces no list "vertex_indices": export it again')
  const triangles: number[] = []
  for (let n = 0; n < count; n++) {
    for (const [p, property] of properties.entries()) {
      if (p === corners) readFace(property, numbers, n, vertices, triangles, fileName)
      else skip(property, numbers, fileName)
    }
    checkCount(triangles.length / 3, MOST_TRIANGLES, 'triangles', fileName)
  }
  return triangles
}

/** Adds the triangles of face `n`, a fan from its first corner. */
function readFace(
  property: PlyProperty,
  numbers: Numbers,
  n: number,
  vertices: number,
  triangles: number[],
  fileName: string,
): void {
  const wrong = (what: string) => new MeshError(fileName, `${numbers.place()}: face ${n + 1} ${what}`)
  const size = listSize(property, numbers, fileName)
  if (size < 3) throw wrong(`has ${size} corners, it needs three or more: export it again`)
  let first = 0
  let previous = 0
  for (let k = 0; k < size; k++) {
    const vertex = numbers.next(property.item)
    if (!(Number.isInteger(vertex) && vertex >= 0 && vertex < vertices))
      throw wrong(`names a vertex that is not there (${vertex}): copy or export it again`)
    if (k === 0) first = vertex
    if (k >= 2) triangles.push(first, previous, vertex)
    previous = vertex
  }
}

function listSize({ count, name }: PlyProperty, numbers: Numbers, fileName: string): number {
  const size = count ? numbers.next(count) : 1
  if (Number.isInteger(size) && size >= 0) return size
  throw new MeshError(
    fileName,
    `${numbers.place()}: a list "${name}" of ${size} numbers: the file is damaged, copy or export it again`,
  )
}

function skip(property: PlyProperty, numbers: Numbers, fileName: string): void {
  const size = listSize(property, numbers, fileName)
  for (let k = 0; k < size; k++) numbers.next(property.item)
}

function binaryNumbers(bytes: Uint8Array, { bodyAt, encoding }: PlyHeader, fileName: string): Numbers {
  const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  let at = bodyAt
  const place = () => `byte ${at}`
  const next = (type: PlyScalar): number => {
    if (at + type.bytes > bytes.length)
      throw new MeshError(fileName, `${place()}: the PLY file is cut short: copy it again`)
    at += type.bytes
    return type.read(data, at - type.bytes, encoding === 'little')
  }
  return {
    next,
    coordinate: (type) => checkCoordinate(next(type), fileName, place()),
    place,
    most: (size) => (bytes.length - at) / size,
  }
}

function textNumbers(bytes: Uint8Array, { bodyAt, bodyLine }: PlyHeader, fileName: string): Numbers {
  const words = createWords(bytes, bodyAt, bodyLine)
  const place = () => `line ${words.line()}`
  return {
    next() {
      const word = words.next()
      if (word === undefined)
        throw new MeshError(fileName, `${place()}: the PLY file is cut short: copy it again`)
      return Number(word)
    },
    coordinate: () => parseCoordinate(words.next(), fileName, place()),
    place,
    // A digit and a blank.
    most: () => (bytes.length - bodyAt + 1) / 2,
  }
}
