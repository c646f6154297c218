import type { Mesh } from './mesh.js'

/** A mesh file that cannot be used: its name, what is wrong, what to do. */
export class MeshError extends Error {
  override readonly name = 'MeshError'

  constructor(fileName: string, problem: string) {
    super(`${fileName}: ${problem}`)
  }
}

/**
 * A triangle mesh from the bytes of an STL (binary or text) or OBJ file, in the file's own coordinates. STL corners
 * with the same coordinates become one vertex; OBJ polygons are cut into fans. Stored normals are ignored: the winding
 * tells inside from outside. Neither format knows units: millimetres are assumed.
 * @throws MeshError naming the file.
 */
export function readMesh(bytes: Uint8Array, fileName: string): Mesh {
  const mesh = isBinaryStl(bytes) ? binaryStl(bytes) : textMesh(bytes, fileName)
  if (mesh.triangles.length === 0)
    throw new MeshError(fileName, 'holds no triangles: export it again as STL or OBJ')
  if (!mesh.positions.every(Number.isFinite))
    throw new MeshError(fileName, 'has corners that are not numbers: export it again')
  return mesh
}

const HEADER_BYTES = 84
const FACET_BYTES = 50

/** By length, because the header of a binary file may begin with "solid" too. A few bytes more at the end are let pass. */
function isBinaryStl(bytes: Uint8Array): boolean {
  if (bytes.length < HEADER_BYTES + FACET_BYTES) return false
  const extra = bytes.length - (HEADER_BYTES + FACET_BYTES * view(bytes).getUint32(80, true))
  return extra >= 0 && extra < FACET_BYTES
}

const view = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)

function binaryStl(bytes: Uint8Array): Mesh {
  const data = view(bytes)
  const welder = createWelder()
  const count = data.getUint32(80, true)
  for (let facet = 0; facet < count; facet++)
    for (let corner = 0; corner < 3; corner++) {
      const at = HEADER_BYTES + FACET_BYTES * facet + 12 + 12 * corner
      welder.corner(data.getFloat32(at, true), data.getFloat32(at + 4, true), data.getFloat32(at + 8, true))
    }
  return welder.mesh()
}

function textMesh(bytes: Uint8Array, fileName: string): Mesh {
  const text = latin(bytes)
  if (/\bfacet\b/.test(text) && /\bvertex\b/.test(text)) return textStl(text)
  if (/^v\s/m.test(text) && /^f\s/m.test(text)) return obj(text, fileName)
  throw new MeshError(fileName, 'is neither STL nor OBJ, or is cut short: export it again as STL or OBJ')
}

/** Keywords and numbers are ASCII in both formats; anything else is only in names and comments. */
function latin(bytes: Uint8Array): string {
  const parts: string[] = []
  for (let at = 0; at < bytes.length; at += 8192)
    parts.push(String.fromCharCode(...bytes.subarray(at, at + 8192)))
  return parts.join('')
}

function textStl(text: string): Mesh {
  const welder = createWelder()
  for (const match of text.matchAll(/\bvertex\s+(\S+)\s+(\S+)\s+(\S+)/g))
    welder.corner(Number(match[1]), Number(match[2]), Number(match[3]))
  return welder.mesh()
}

function obj(text: string, fileName: string): Mesh {
  const positions: number[] = []
  const triangles: number[] = []
  for (const line of text.split(/\r?\n/)) {
    const [keyword, ...words] = line.trim().split(/\s+/)
    if (keyword === 'v') positions.push(Number(words[0]), Number(words[1]), Number(words[2]))
    if (keyword !== 'f') continue
    const corners = words.map((word) => {
      const index = Number.parseInt(word, 10)
      const vertex = index < 0 ? positions.length / 3 + index : index - 1
      if (!(vertex >= 0 && vertex < positions.length / 3))
        throw new MeshError(
          fileName,
          `face "${line.trim()}" names a vertex that is not there: export it again`,
        )
      return vertex
    })
    for (let n = 2; n < corners.length; n++) triangles.push(corners[0], corners[n - 1], corners[n])
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

/** Collects corners, one vertex for each different place, and drops triangles that are a line or a point. */
function createWelder() {
  const positions: number[] = []
  const corners: number[] = []
  const known = new Map<string, number>()
  return {
    corner(x: number, y: number, z: number): void {
      const key = `${x},${y},${z}`
      let vertex = known.get(key)
      if (vertex === undefined) {
        vertex = positions.length / 3
        known.set(key, vertex)
        positions.push(x, y, z)
      }
      corners.push(vertex)
    },
    mesh(): Mesh {
      const triangles: number[] = []
      for (let n = 0; n + 2 < corners.length; n += 3) {
        const [a, b, c] = [corners[n], corners[n + 1], corners[n + 2]]
        if (a !== b && b !== c && c !== a) triangles.push(a, b, c)
      }
      return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
    },
  }
}
