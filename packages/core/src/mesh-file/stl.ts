import { checkCoordinate, checkCount, MOST_TRIANGLES, parseCoordinate } from './bounds.js'
import type { FileMesh } from './file-mesh.js'
import { MeshError } from './mesh-error.js'
import type { MeshNote } from './mesh-note.js'
import { createWelder } from './weld.js'
import { createWords } from './words.js'

const HEADER_BYTES = 84
const FACET_BYTES = 50

/** How many triangles the bytes are when they are a binary STL file; undefined when they are too few for a header. */
export const binaryStlCount = (bytes: Uint8Array): number | undefined =>
  bytes.length < HEADER_BYTES ? undefined : viewOf(bytes).getUint32(80, true)

const viewOf = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)

/**
 * Whether the length is that of a binary STL file, because the header may begin with "solid" there too. A few bytes
 * more at the end, less than a triangle, are let pass.
 */
export function isBinaryStl(bytes: Uint8Array): boolean {
  const count = binaryStlCount(bytes)
  if (count === undefined) return false
  const extra = bytes.length - (HEADER_BYTES + FACET_BYTES * count)
  return extra >= 0 && extra < FACET_BYTES && (count > 0 || extra === 0)
}

/** A binary STL file (see isBinaryStl): corners in one place become one vertex, stored normals are ignored. */
export function readBinaryStl(bytes: Uint8Array, fileName: string): FileMesh {
  const data = viewOf(bytes)
  const count = data.getUint32(80, true)
  checkCount(count, MOST_TRIANGLES, 'triangles', fileName)
  const welder = createWelder()
  const triangles = new Uint32Array(3 * count)
  for (let facet = 0; facet < count; facet++)
    for (let corner = 0; corner < 3; corner++) {
      const at = HEADER_BYTES + FACET_BYTES * facet + 12 + 12 * corner
      const x = data.getFloat32(at, true)
      const y = data.getFloat32(at + 4, true)
      const z = data.getFloat32(at + 8, true)
      const place = `triangle ${facet + 1}`
      for (const value of [x, y, z]) checkCoordinate(value, fileName, place)
      triangles[3 * facet + corner] = welder.place(x, y, z)
    }
  const extra = bytes.length - (HEADER_BYTES + FACET_BYTES * count)
  const notes: MeshNote[] =
    extra === 0
      ? []
      : [
          {
            code: 'extra-bytes',
            text: `${fileName} ends with ${extra} bytes that belong to no triangle; they were passed over. If something is missing, export it again.`,
          },
        ]
  return { mesh: { positions: welder.positions(), triangles }, format: 'stl-binary', unitMm: null, notes }
}

/**
 * A text STL file: corners in one place become one vertex, stored normals are ignored.
 * @throws MeshError
 */
export function readTextStl(bytes: Uint8Array, fileName: string): FileMesh {
  const words = createWords(bytes)
  const welder = createWelder()
  const triangles: number[] = []
  let inLoop = 0
  let ended = false
  const place = () => `line ${words.line()}`
  for (let word = words.next(); word !== undefined; word = words.next()) {
    const keyword = word.toLowerCase()
    // What follows is a name, and it may hold any word.
    if (keyword === 'solid' || keyword === 'endsolid') {
      words.skipLine()
      ended = keyword === 'endsolid'
    }
    if (keyword === 'vertex') {
      const xyz = [1, 2, 3].map(() => parseCoordinate(words.next(), fileName, place()))
      triangles.push(welder.place(xyz[0], xyz[1], xyz[2]))
      inLoop++
    }
    if (keyword === 'facet' || keyword === 'endfacet') {
      if (inLoop % 3 !== 0 || inLoop > 3)
        throw new MeshError(fileName, `${place()}: a facet has ${inLoop} corners, not three: export it again`)
      inLoop = 0
      checkCount(triangles.length / 3, MOST_TRIANGLES, 'triangles', fileName)
    }
  }
  if (inLoop !== 0)
    throw new MeshError(
      fileName,
      `${place()}: the last facet is not finished, the file is cut short: copy it again`,
    )
  const notes: MeshNote[] = ended
    ? []
    : [
        {
          code: 'no-end',
          text: `${fileName} stops without the line "endsolid": it may be cut short. Compare it with where it came from.`,
        },
      ]
  return {
    mesh: { positions: welder.positions(), triangles: new Uint32Array(triangles) },
    format: 'stl-text',
    unitMm: null,
    notes,
  }
}
